"""A password that somebody else made opens one page, runs out, and does not stay (ASVS 6.4.1)."""

from datetime import timedelta
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.test import Client
from django.utils import timezone

from shopfloor.launch.people import make_accounts
from shopfloor.models import FirstPassword
from shopfloor.privacy import accounts
from tests.api.cast import APP

pytestmark = pytest.mark.django_db
OWN = "only mara knows these words"
PASSWORD = "/office/password/"


@pytest.fixture
def given() -> str:
    """As the first start makes it."""
    return make_accounts({"mara": "manager"})["mara"]


def sign_in(client: Client, password: str) -> Any:
    words = {"username": "mara", "password": password}
    return client.post("/office/sign-in/", words)


def choose(client: Client, old: str, new: str) -> Any:
    words = {"old_password": old, "new_password1": new, "new_password2": new}
    return client.post(PASSWORD, words)


def test_it_opens_nothing_but_the_page_where_another_is_chosen(given: str) -> None:
    client = Client()
    assert sign_in(client, given).status_code == 302
    for path in ("/office/", "/office/phones/", "/office/password/changed/", "/office/dates/"):
        response = client.get(path)
        assert (response.status_code, response["Location"]) == (302, PASSWORD)
    assert client.post("/office/phones/add/", {"label": "Press 3"})["Location"] == PASSWORD
    assert "made for you" in client.get(PASSWORD).content.decode()
    machine = client.post("/api/v1/advice/register", {}, "application/json", headers=APP)
    assert machine.status_code == 401
    assert client.get("/").status_code == 200, "a phone in the same browser"
    assert client.post("/office/sign-out/").status_code == 302


def test_the_demo_lets_its_visitors_straight_in() -> None:
    client = Client()
    assert sign_in(client, make_accounts({"mara": "manager"}, to_stay=True)["mara"])
    assert client.get("/office/").status_code == 200


def test_with_a_password_of_ones_own_everything_opens(given: str) -> None:
    client, elsewhere = Client(), Client()
    sign_in(client, given)
    sign_in(elsewhere, given)
    assert choose(client, given, OWN)["Location"] == "/office/password/changed/"
    assert client.get("/office/").status_code == 200
    assert "made for you" not in client.get(PASSWORD).content.decode()
    assert "sign-in" in elsewhere.get("/office/")["Location"], "the old one is good for nothing"
    again = Client()
    sign_in(again, OWN)
    assert again.get("/office/").status_code == 200
    assert not FirstPassword.objects.exists()


def test_it_cannot_be_chosen_again(given: str) -> None:
    client = Client()
    sign_in(client, given)
    response = choose(client, given, given)
    assert "That is the password you have now" in response.content.decode()
    assert client.get("/office/")["Location"] == PASSWORD


def test_it_runs_out(given: str) -> None:
    FirstPassword.objects.update(until=timezone.now() - timedelta(seconds=1))
    client = Client()
    response = sign_in(client, given)
    assert response.status_code == 200
    assert "changepassword" in response.content.decode()
    assert "sign-in" in client.get("/office/")["Location"]
    user = User.objects.get()
    user.set_password(OWN)
    user.save()
    sign_in(client, OWN)
    assert client.get("/office/").status_code == 200, "one that was set at the terminal since"


def test_it_is_short_lived_from_the_start(given: str) -> None:
    left = FirstPassword.objects.get().until - timezone.now()
    assert timedelta(0) < left <= timedelta(days=7)


def test_it_goes_with_the_account(given: str) -> None:
    accounts.forget(User.objects.get())
    assert not FirstPassword.objects.exists()
