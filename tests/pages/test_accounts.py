"""Accounts: made, given a role or a password, locked; nobody shuts themselves out."""

import re
from datetime import timedelta
from typing import Any

import pytest
from axes.models import AccessAttempt
from django.contrib.auth.models import User
from django.test import Client
from django.utils import timezone

from shopfloor.auth import accounts
from shopfloor.models import AuditEvent, FirstPassword
from tests.api import cast

pytestmark = pytest.mark.django_db
PAGE = "/office/phones/accounts/"
OWN = "only sol knows these words"


@pytest.fixture
def mara() -> User:
    cast.shop()
    return cast.person("mara", "manager")


@pytest.fixture
def office(mara: User) -> Client:
    return cast.signed_in(mara)


@pytest.fixture
def sol(mara: User) -> User:
    return cast.person("sol", "screen room")


def said(response: Any) -> str:
    return response.content.decode()


def password_on(response: Any) -> str:
    (found,) = re.findall(r"\w{4}-\w{4}-\w{4}-\w{4}", said(response))
    return found


def sign_in(name: str, password: str) -> tuple[Client, int]:
    client = Client()
    words = {"username": name, "password": password}
    return client, client.post("/office/sign-in/", words).status_code


def audit() -> list[tuple[str, str, str]]:
    events = AuditEvent.objects.about_accounts()
    return list(events.values_list("kind", "detail", "by_name"))


def test_an_account_comes_with_a_password_for_choosing_another(office: Client) -> None:
    made = office.post(PAGE + "add/", {"name": "sol", "role": "screen room"})
    assert "no-store" in made["Cache-Control"]
    client, status = sign_in("sol", password_on(made))
    assert status == 302
    words = {"old_password": password_on(made), "new_password1": OWN, "new_password2": OWN}
    assert client.get("/office/")["Location"] == "/office/password/"
    client.post("/office/password/", words)
    assert client.get("/office/").status_code == 200
    assert client.get("/office/phones/").status_code == 403
    assert password_on(made) not in said(office.get(PAGE))
    assert audit() == [("added", "sol", "mara")]


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("", "Nothing written. Give a name, like sol."),
        ("sol two", "Only letters, digits and the signs . _ - + @, without a space."),
        ("MARA", "MARA is taken. Choose another name."),
        ("s" * 31, "at most 30"),
        ("former account 7", "without a space"),
    ],
)
def test_a_name_that_does_not_do_is_said_so(office: Client, name: str, words: str) -> None:
    answer = said(office.post(PAGE + "add/", {"name": name, "role": "manager"}))
    assert words in answer
    assert User.objects.count() == 1


def test_a_role_counts_at_once(office: Client, sol: User) -> None:
    theirs = cast.signed_in(sol)
    assert theirs.get(PAGE).status_code == 403
    office.post(f"{PAGE}{sol.pk}/", {"role": "manager"})
    assert theirs.get(PAGE).status_code == 200
    office.post(f"{PAGE}{sol.pk}/", {"role": "screen room"})
    assert theirs.get(PAGE).status_code == 403
    assert [kind for kind, *_ in audit()] == ["screen_room", "manager"]


def test_a_superuser_who_is_made_screen_room_is_no_manager_any_more(
    office: Client, mara: User
) -> None:
    root = User.objects.create_superuser("root", password="made at the terminal")
    assert accounts.role(root) == "manager"
    office.post(f"{PAGE}{root.pk}/", {"role": "screen room"})
    assert cast.signed_in(User.objects.get(pk=root.pk)).get(PAGE).status_code == 403


def test_a_locked_account_is_out_at_once_and_may_come_back(office: Client, sol: User) -> None:
    theirs = cast.signed_in(sol)
    assert theirs.get("/office/").status_code == 200
    office.post(f"{PAGE}{sol.pk}/lock/")
    assert theirs.get("/office/").status_code == 302
    assert sign_in("sol", "sol likes long words")[1] == 200
    assert "locked" in said(office.get(PAGE))
    assert "sol" in said(office.get("/office/privacy/")), "may still be forgotten"
    office.post(f"{PAGE}{sol.pk}/unlock/")
    office.post(f"{PAGE}{sol.pk}/unlock/")
    assert sign_in("sol", "sol likes long words")[1] == 302
    assert [kind for kind, *_ in audit()] == ["unlocked", "locked"]


def test_a_forgotten_password_is_replaced_and_failed_tries_with_it(
    office: Client, sol: User
) -> None:
    theirs = cast.signed_in(sol)
    for _ in range(6):
        sign_in("sol", "what was it")
    assert sign_in("sol", "sol likes long words")[1] == 429
    new = password_on(office.post(f"{PAGE}{sol.pk}/password/"))
    assert not AccessAttempt.objects.filter(username="sol").exists()
    assert theirs.get("/office/").status_code == 302, "signed out"
    assert sign_in("sol", new)[1] == 302
    again = password_on(office.post(f"{PAGE}{sol.pk}/password/"))
    assert again != new
    assert sign_in("sol", new)[1] == 200


def test_what_a_first_password_is_still_good_for_is_told(office: Client, sol: User) -> None:
    office.post(f"{PAGE}{sol.pk}/password/")
    assert "first password, good until" in said(office.get(PAGE))
    FirstPassword.objects.update(until=timezone.now() - timedelta(minutes=1))
    assert "its first password has run out" in said(office.get(PAGE))
    sol.refresh_from_db()
    sol.set_password(OWN)
    sol.save()
    assert "first password" not in said(office.get(PAGE)).split("<h2>")[0]


def test_nobody_shuts_themselves_out(office: Client, mara: User) -> None:
    own = f"{PAGE}{mara.pk}/"
    assert "let another manager do it" in said(office.get(own))
    for path, words in (
        (own, {"role": "screen room"}),
        (own + "lock/", {}),
        (own + "password/", {}),
    ):
        assert "let another manager do it" in said(office.post(path, words, follow=True))
    assert office.get(PAGE).status_code == 200
    assert audit() == []


def test_a_forgotten_account_is_gone_from_here_too(office: Client, sol: User) -> None:
    office.post(f"{PAGE}{sol.pk}/lock/", follow=True)
    office.post(f"/office/privacy/accounts/{sol.pk}/forget/")
    assert "sol" not in re.sub(r"<[^>]*>", " ", said(office.get(PAGE))).split()
    assert audit() == [("locked", f"former account {sol.pk}", "mara")]
    assert office.get(f"{PAGE}{sol.pk}/").status_code == 404
    assert office.post(f"{PAGE}{sol.pk}/unlock/").status_code == 404
    known = office.get(f"/office/privacy/accounts/{sol.pk}/known.json").json()
    assert known["done_to_the_account"]


def test_the_phones_page_tells_of_phones_alone(office: Client, sol: User) -> None:
    office.post(f"{PAGE}{sol.pk}/lock/")
    assert "account locked" not in said(office.get("/office/phones/"))
    assert "account locked" in said(office.get(PAGE))
