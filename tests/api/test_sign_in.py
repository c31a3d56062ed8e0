"""Signing in to the office: limits on tries, on idle time and on age."""

from datetime import timedelta
from typing import Any

import pytest
from axes.models import AccessAttempt
from django.conf import settings
from django.contrib.auth.models import User
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.test import Client
from django.utils import timezone

from tests.api.cast import signed_in

pytestmark = pytest.mark.django_db
SIGN_IN = "/office/sign-in/"
OFFICE = "/office/password/"
RIGHT = "mara likes long words"


def sign_in(client: Client, name: str = "mara", password: str = RIGHT, **more: str) -> Any:
    return client.post(SIGN_IN, {"username": name, "password": password, **more})


def stays_in(client: Client) -> bool:
    return client.get(OFFICE).status_code == 200


def age(client: Client, **what: timedelta) -> None:
    """Make the session as old as that."""
    session = client.session
    for name, past in what.items():
        session[name] = (timezone.now() - past).isoformat()
    session.save()


def test_the_right_password_opens_the_office(mara: User) -> None:
    client = Client()
    assert client.get(OFFICE).status_code == 302
    assert sign_in(client)["Location"] == "/office/"
    assert stays_in(client)


def test_it_goes_on_to_where_one_wanted_to_be(mara: User) -> None:
    response = sign_in(Client(), next=OFFICE)
    assert response["Location"] == OFFICE


def test_it_goes_to_no_foreign_address(mara: User) -> None:
    response = sign_in(Client(), next="https://elsewhere.test/")
    assert response["Location"] == "/office/"


def test_a_wrong_password_is_said_without_saying_which_was_wrong(mara: User) -> None:
    texts = [
        sign_in(Client(), name, "wrong").content.decode().split("csrfmiddlewaretoken")[0]
        for name in ("mara", "nobody")
    ]
    assert texts[0] == texts[1]


def test_after_five_wrong_tries_even_the_right_password_waits(mara: User) -> None:
    for _ in range(5):
        response = sign_in(Client(), password="wrong")
    assert response.status_code == 429
    assert b"Wait 15 minutes" in response.content
    assert sign_in(Client()).status_code == 429


def test_a_colleague_at_the_same_address_is_not_locked_out(mara: User, sol: User) -> None:
    for _ in range(6):
        sign_in(Client(), password="wrong")
    client = Client()
    assert sign_in(client, "sol", "sol likes long words").status_code == 302
    assert stays_in(client)


def test_after_the_wait_it_opens_again(mara: User) -> None:
    for _ in range(5):
        sign_in(Client(), password="wrong")
    AccessAttempt.objects.update(attempt_time=timezone.now() - timedelta(minutes=16))
    assert sign_in(Client()).status_code == 302


def test_success_forgets_the_slips_before_it(mara: User) -> None:
    for _ in range(3):
        for _ in range(4):
            sign_in(Client(), password="wrong")
        assert sign_in(Client()).status_code == 302


def test_an_idle_sign_in_ends(mara: User) -> None:
    client = signed_in(mara)
    assert stays_in(client)
    age(client, seen_at=timedelta(hours=11))
    assert stays_in(client)
    age(client, seen_at=timedelta(hours=13))
    assert not stays_in(client)


def test_use_keeps_it_alive_but_not_beyond_a_week(mara: User) -> None:
    client = signed_in(mara)
    assert stays_in(client)
    age(client, began_at=timedelta(days=6), seen_at=timedelta(hours=11))
    assert stays_in(client)
    assert timezone.now().isoformat()[:13] == client.session["seen_at"][:13]
    age(client, began_at=timedelta(days=8))
    assert not stays_in(client)


def test_a_page_looked_at_again_soon_writes_nothing(mara: User) -> None:
    client = signed_in(mara)
    client.get(OFFICE)
    before = dict(client.session)
    client.get(OFFICE)
    assert dict(client.session) == before


def test_signing_out_ends_it_and_needs_a_click(mara: User) -> None:
    client = signed_in(mara)
    assert client.get("/office/sign-out/").status_code == 405
    assert client.post("/office/sign-out/")["Location"] == SIGN_IN
    assert not stays_in(client)


def test_a_form_without_its_token_is_refused(mara: User) -> None:
    assert sign_in(Client(enforce_csrf_checks=True)).status_code == 403


def test_cookies_are_shut_to_scripts(mara: User) -> None:
    client = Client()
    client.get(SIGN_IN)
    response = sign_in(client)
    for name in (settings.SESSION_COOKIE_NAME, settings.CSRF_COOKIE_NAME):
        assert response.cookies[name]["httponly"]
        assert response.cookies[name]["samesite"] == "Lax"


def test_a_new_password_counts_and_signs_out_elsewhere(mara: User) -> None:
    here, elsewhere = signed_in(mara), signed_in(mara)
    new = "a rather longer phrase"
    typed = {"old_password": RIGHT, "new_password1": new, "new_password2": new}
    assert here.post(OFFICE, typed)["Location"] == "/office/password/changed/"
    assert stays_in(here)
    assert not stays_in(elsewhere)
    assert sign_in(Client(), password=new).status_code == 302


@pytest.mark.parametrize(
    "new", ["83172946552", "sieb rahmen leiste", "Ä%√ 🙂 ø=", "loud-and-clear-1"]
)
def test_a_password_may_be_of_any_kind_of_character(new: str) -> None:
    """OWASP ASVS 5.0, 6.2.5."""
    validate_password(new)


@pytest.mark.parametrize("new", ["short 7", "password1", "11111111"])
def test_a_short_or_common_password_is_not_taken(new: str) -> None:
    with pytest.raises(ValidationError):
        validate_password(new)
