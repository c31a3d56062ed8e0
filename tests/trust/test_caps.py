"""Nobody fills the server's disk or memory: what is too large is refused before it is read."""

import socket
from pathlib import Path

import pytest

from shopfloor import caps
from shopfloor.api import bodies
from shopfloor.exchange import decoding
from shopfloor.office import outbox_file
from tests.shop_process import ShopProcess


def test_the_largest_file_of_use_fits_and_not_much_more() -> None:
    useful = max(outbox_file.MOST_BYTES, decoding.MOST_BYTES, bodies.LARGEST)
    assert useful < caps.LARGEST < useful + 2 * 1024 * 1024


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
