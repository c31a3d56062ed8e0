"""Errors that no operation raised have the one body too."""

from typing import Any

import pytest
from django.db import OperationalError
from django.test import Client

from frames import feed, log
from tests.api.cast import APP, Phone
from tests.api.entries import note
from tests.api.error_shape import assert_problem

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize("address", ["nowhere", "sync", "sync/push/", "frames/1/entries", ""])
def test_an_address_that_is_not_there(phone: Phone, address: str) -> None:
    assert_problem(phone.get(address), 404, "not-found")


@pytest.mark.parametrize(
    ("method", "path", "allowed"),
    [("GET", "sync/push", "POST"), ("POST", "me", "GET"), ("DELETE", "sync/changes", "GET")],
)
def test_a_method_that_is_not_taken(phone: Phone, method: str, path: str, allowed: str) -> None:
    response = phone.client.generic(method, f"/api/v1/{path}")
    assert_problem(response, 405, "method")
    assert response["Allow"] == allowed


def test_a_mistake_of_the_server(phone: Phone, monkeypatch: Any) -> None:
    def fail(*args: Any, **kwargs: Any) -> None:
        raise RuntimeError("a secret of the server")

    monkeypatch.setattr(log, "append", fail)
    phone.client.raise_request_exception = False
    response = phone.post("sync/push", phone.envelope([note()]))
    body = assert_problem(response, 500, "internal")
    assert "secret" not in str(body)


def test_a_full_disk_is_something_to_wait_for(phone: Phone, monkeypatch: Any) -> None:
    def full(*args: Any, **kwargs: Any) -> None:
        raise OperationalError("database or disk is full")

    monkeypatch.setattr(log, "append", full)
    response = phone.post("sync/push", phone.envelope([note()]))
    assert_problem(response, 503, "locked")
    assert "disk" not in str(response.content)


def test_a_host_that_is_not_ours(phone: Phone) -> None:
    response = phone.client.get("/api/v1/me", headers={"Host": "elsewhere.test"})
    assert_problem(response, 400, "unreadable")


@pytest.mark.parametrize(
    "headers",
    [
        {},
        {"X-Tautbook": "2"},
        {**APP, "Sec-Fetch-Site": "cross-site"},
        {**APP, "Sec-Fetch-Site": "same-site"},
        {**APP, "Sec-Fetch-Site": "none"},
    ],
)
def test_a_request_of_another_page(phone: Phone, headers: dict[str, str]) -> None:
    foreign = Client(headers=headers)
    foreign.cookies = phone.client.cookies
    body = phone.envelope([note()])
    response = foreign.post("/api/v1/sync/push", body, content_type="application/json")
    assert_problem(response, 403, "cross-site")
    assert_problem(foreign.get("/api/v1/me"), 403, "cross-site")
    assert feed.head().seq == 0


@pytest.mark.parametrize("kind", ["text/plain", "application/x-www-form-urlencoded", "", "json"])
def test_a_body_that_a_form_could_send(phone: Phone, kind: str) -> None:
    """The kinds of body that a foreign form may send unasked (Fetch standard, CORS-safelisted)."""
    response = phone.client.generic("POST", "/api/v1/sync/push", b'{"entries": []}', kind)
    body = assert_problem(response, 415, "media-type")
    assert body["detail"] == f"Content-Type is {kind!r}. Send application/json."


def test_our_own_page_gets_in(phone: Phone) -> None:
    own = Client(headers={**APP, "Sec-Fetch-Site": "same-origin"})
    own.cookies = phone.client.cookies
    assert own.get("/api/v1/me").status_code == 200
