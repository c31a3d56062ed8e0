"""/f/CODE: what stands on every label."""

import pytest
from django.conf import settings
from django.test import Client

from frames.codes import format_code
from tests.api.cast import Phone, frame, shop

pytestmark = pytest.mark.django_db
CODE = format_code("F", 417)


@pytest.mark.parametrize(
    "address", [f"/f/{CODE}", f"/F/{CODE}", f"/f/{CODE.lower()}", f"/F/{CODE}/"]
)
def test_an_enrolled_browser_gets_the_app(phone: Phone, address: str) -> None:
    response = phone.client.get(address)
    assert response.status_code == 200
    assert response.content == Client().get("/").content


@pytest.mark.parametrize("typed", [CODE, CODE.lower(), CODE.replace("-", ""), f"%20{CODE}"])
def test_any_other_browser_is_told_what_to_do(typed: str) -> None:
    response = Client().get(f"/f/{typed}")
    text = response.content.decode()
    assert response.status_code == 200
    assert f"Frame {CODE}" in text
    assert "Open the app and scan the label there" in text
    assert 'href="/e"' in text


def test_a_stranger_learns_nothing_else_about_the_frame(stranger: Phone) -> None:
    """Known to the shop or not, the page is the same."""
    shop()
    known, unknown = frame(1).code, format_code("F", 2)
    pages = [stranger.client.get(f"/f/{code}").content.decode() for code in (known, unknown)]
    assert pages[0].replace(known, "") == pages[1].replace(unknown, "")


@pytest.mark.parametrize("wrong", ["F0417-A", "417", "hello", "<script>", "F" * 60])
def test_f35_what_is_no_code_is_said_to_be_none(wrong: str) -> None:
    response = Client().get(f"/f/{wrong}")
    text = response.content.decode()
    assert response.status_code == 404
    assert "This is not a frame label of this shop" in text
    assert wrong not in text.replace("F0417-N", "")


@pytest.mark.parametrize("who", ["retired_phone", "blocked_phone"])
def test_a_phone_that_was_let_go_still_opens_its_outbox(
    who: str, request: pytest.FixtureRequest
) -> None:
    one = request.getfixturevalue(who)
    assert b'id="app"' in one.client.get(f"/f/{CODE}").content


def test_a_made_up_cookie_opens_nothing(stranger: Phone) -> None:
    stranger.client.cookies[settings.DEVICE_COOKIE_NAME] = "guess"
    assert b"is not enrolled" in stranger.client.get(f"/f/{CODE}").content
