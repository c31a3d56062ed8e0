"""Errors outside the API are pages that say what to do."""

from typing import Any

import pytest
from django.contrib.auth.models import User
from django.db import OperationalError
from django.test import Client

from frames import feed
from shopfloor import position
from tests.api.cast import signed_in

pytestmark = pytest.mark.django_db


def test_an_address_that_is_not_there() -> None:
    response = Client().get("/nowhere")
    assert response.status_code == 404
    assert b"There is nothing here" in response.content


def test_a_page_of_someone_else(mara: User) -> None:
    mara.groups.clear()
    response = signed_in(mara).get("/office/password/")
    assert response.status_code == 403
    assert b"Ask the manager" in response.content


def test_a_form_that_was_open_too_long() -> None:
    response = Client(enforce_csrf_checks=True).post("/office/sign-in/", {"username": "mara"})
    assert response.status_code == 403
    assert b"load the page again" in response.content


@pytest.mark.parametrize(
    ("error", "status", "said"),
    [
        (OperationalError("database is locked"), 503, b"The book is busy"),
        (RuntimeError("a secret of the server"), 500, b"The server made a mistake"),
    ],
)
def test_a_page_that_fails(
    mara: User, monkeypatch: Any, error: Exception, status: int, said: bytes
) -> None:
    def fail(*args: Any, **kwargs: Any) -> None:
        raise error

    monkeypatch.setattr(User, "check_password", fail)
    client = signed_in(mara)
    client.raise_request_exception = False
    response = client.post("/office/password/", {"old_password": "x"})
    assert response.status_code == status
    assert said in response.content
    assert b"secret" not in response.content


def test_a_start_on_a_new_book_takes_its_position() -> None:
    assert position.check() is False
    assert position.read() == feed.head()
