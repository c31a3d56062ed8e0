"""GET me: what a phone is here, and how its cookie lives."""

from datetime import timedelta

import pytest
from django.conf import settings
from django.utils import timezone

from shopfloor.models import Device
from tests.api.cast import Phone, device_of, shop
from tests.api.error_shape import assert_problem

pytestmark = pytest.mark.django_db
DAYS = timedelta(days=1)


def test_it_says_who_the_phone_is_and_whose(phone: Phone) -> None:
    shop()
    body = phone.get("me").json()
    assert body["device"]["label"] == "Press 2"
    assert body["device"]["status"] == "active"
    assert body["shop"]["name"] == "Quay Street Print"


def test_a_retired_phone_learns_that_it_is(retired_phone: Phone) -> None:
    assert retired_phone.get("me").json()["device"]["status"] == "retired"


def test_a_retired_phone_reads_no_prices(retired_phone: Phone, phone: Phone) -> None:
    shop()
    assert "prices" in phone.get("me").json()["shop"]
    told = retired_phone.get("me").json()["shop"]
    assert told == {"name": "Quay Street Print", "language": "en"}


def test_a_blocked_phone_is_told_what_becomes_of_its_outbox(blocked_phone: Phone) -> None:
    body = assert_problem(blocked_phone.get("me"), 403, "blocked")
    assert "save the outbox to a file and give it to the manager" in body["detail"]


def test_a_stranger_is_told_whom_to_ask(stranger: Phone, db: None) -> None:
    body = assert_problem(stranger.get("me"), 401, "sign-in")
    assert body["detail"].startswith("Ask the manager to add this phone")


@pytest.mark.parametrize("cookie", ["", "guess", "x" * 5000])
def test_a_made_up_cookie_is_a_stranger(stranger: Phone, cookie: str, db: None) -> None:
    stranger.client.cookies[settings.DEVICE_COOKIE_NAME] = cookie
    assert_problem(stranger.get("me"), 401, "sign-in")


def test_a_cookie_that_was_used_lately_is_not_handed_out_again(phone: Phone) -> None:
    assert settings.DEVICE_COOKIE_NAME not in phone.get("me").cookies


def test_a_cookie_in_use_slides(phone: Phone) -> None:
    Device.objects.update(cookie_until=timezone.now() + 178 * DAYS)
    renewed = phone.get("me").cookies[settings.DEVICE_COOKIE_NAME]
    assert renewed["max-age"] == (180 * DAYS).total_seconds()
    assert device_of(phone).cookie_until > timezone.now() + 179 * DAYS


def test_after_180_days_without_use_it_has_ended(phone: Phone) -> None:
    Device.objects.update(cookie_until=timezone.now())
    assert_problem(phone.get("me"), 401, "sign-in")
