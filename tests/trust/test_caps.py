"""Nobody fills the server's disk or memory: what is too large is refused before it is read."""

import socket
from pathlib import Path

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse

from shopfloor import caps
from shopfloor.api import bodies
from shopfloor.exchange import decoding
from shopfloor.office import outbox_file
from tests.shop_process import ShopProcess


def test_the_largest_file_of_use_fits_and_not_much_more() -> None:
    useful = max(outbox_file.MOST_BYTES, decoding.MOST_BYTES, bodies.LARGEST)
    assert useful < caps.LARGEST < useful + 2 * 1024 * 1024


def test_only_who_seems_signed_in_sends_a_file_and_only_where_files_are_taken() -> None:
    assert set(caps.FILES) == {reverse("office:outbox"), reverse("exchange:lists")}
    for path in caps.FILES:
        assert caps.largest(path, signed_in=True) == caps.LARGEST
        assert caps.largest(path, signed_in=False) == caps.LARGEST_FORM
    for path in ("/nothing", "/office/", "/office/shop/lists/columns/"):
        assert caps.largest(path, signed_in=True) == caps.LARGEST_FORM
    assert caps.largest("/api/v1/sync/push", signed_in=True) == caps.LARGEST_PUSH


@pytest.mark.django_db
def test_too_much_in_a_form_is_told_as_such(client: Client) -> None:
    answer = client.post("/office/sign-in/", {"username": "a" * caps.LARGEST_FORM})
    assert answer.status_code == 413
    assert "What is typed into a form may have 256 KB" in answer.content.decode()


@pytest.mark.django_db
@pytest.mark.parametrize("path", caps.FILES)
def test_a_file_after_the_sign_in_ran_out_asks_to_sign_in(client: Client, path: str) -> None:
    file = {"file": SimpleUploadedFile("outbox.json", b" " * caps.LARGEST_FORM)}
    answer = client.post(path, file)
    assert (answer.status_code, answer["Location"]) == (302, f"/office/sign-in/?next={path}")
    client.cookies["tautbook_session"] = "nobodys"
    too_much = {"file": SimpleUploadedFile("outbox.json", b" " * caps.LARGEST)}
    answer = client.post(path, too_much)
    assert answer.status_code == 413
    assert "A file may have 17 MB" in answer.content.decode()


@pytest.fixture
def server(open_server: object, bare_data: Path) -> ShopProcess:
    return open_server(bare_data)


@pytest.mark.parametrize(
    "path", ["/office/sign-in/", "/office/phones/outbox/", "/api/v1/sync/push"]
)
def test_a_body_too_large_is_answered_without_waiting_for_it(
    server: ShopProcess, path: str
) -> None:
    """Only the head of the request is ever sent: an answer means that the body was not read."""
    with socket.create_connection(("127.0.0.1", server.port), timeout=30) as link:
        link.sendall(
            f"POST {path} HTTP/1.1\r\nHost: localhost:{server.port}\r\nX-Tautbook: 1\r\n"
            "Content-Type: application/json\r\n"
            f"Content-Length: {10 * 1024**3}\r\n\r\n".encode()
        )
        answer = link.recv(4096).decode("latin-1")
    assert answer.startswith(("HTTP/1.1 413", "HTTP/1.1 403")), answer[:200]
