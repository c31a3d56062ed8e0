"""Phones whose storage was copied are noticed, and nothing that they send is lost."""

import copy
from datetime import timedelta
from uuid import uuid4

import pytest
from django.test import Client
from django.utils import timezone

from frames.models import Entry
from shopfloor import auth
from shopfloor.models import Device
from tests.api import cast
from tests.api.entries import note

pytestmark = pytest.mark.django_db
SAID = "Two phones write under its numbering"


def numbered(phone: cast.Phone, number: int, text: str) -> dict:
    return note(text, install_id=str(phone.install_id), device_seq=number)


@pytest.fixture
def phone() -> cast.Phone:
    return cast.enrolled()


@pytest.fixture
def desk() -> Client:
    cast.shop()
    return cast.signed_in(cast.person("mara", "manager"))


def page(desk: Client, path: str) -> str:
    return desk.get(path).content.decode()


def test_f20_a_cloned_profile_is_flagged_and_loses_nothing(phone: cast.Phone, desk: Client) -> None:
    phone.push(numbered(phone, 1, "before it was copied"))
    twin = copy.deepcopy(phone)
    phone.push(numbered(phone, 2, "from the first"))
    assert SAID not in page(desk, "/office/phones/")
    answer = twin.push(numbered(twin, 2, "from its twin"))
    assert answer["receipts"][0]["status"] == "stored"
    assert SAID in page(desk, "/office/phones/")
    assert SAID in page(desk, "/office/")
    assert Entry.objects.count() == 3


def test_a_phone_beside_it_is_not_suspected(phone: cast.Phone) -> None:
    other = cast.enrolled("Press 3")
    phone.push(numbered(phone, 1, "one"))
    other.push(numbered(other, 1, "one"))
    assert auth.copied(Device.objects.all(), timezone.now()) == set()


def test_a_storage_copied_before_either_was_added_anew(phone: cast.Phone) -> None:
    """Two cookies, one numbering."""
    other = cast.enrolled("Press 3")
    other.install_id = phone.install_id
    phone.push(numbered(phone, 1, "one"))
    other.push(numbered(other, 2, "two"))
    found = auth.copied(Device.objects.all(), timezone.now())
    assert found == {cast.device_of(phone).pk, cast.device_of(other).pk}


def test_phones_that_never_said_their_install_are_not_taken_for_one(phone: cast.Phone) -> None:
    cast.enrolled("Press 3")
    assert auth.copied(Device.objects.all(), timezone.now()) == set()


def test_after_a_month_it_is_no_longer_news(phone: cast.Phone) -> None:
    for _ in range(2):
        phone.push(numbered(phone, 1, str(uuid4())))
    later = timezone.now() + timedelta(days=31)
    assert auth.copied(Device.objects.all(), timezone.now())
    assert not auth.copied(Device.objects.all(), later)
