"""The manager's side of letting phones in and out."""

from datetime import timedelta
from uuid import uuid4

import pytest
from django.contrib.auth.models import User
from django.utils import timezone

from shopfloor import auth
from shopfloor.models import AuditEvent, Device, Enrolment
from tests.api.cast import Phone, device_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def waiting(mara: User) -> Enrolment:
    offer = auth.offer(mara, "Press 4")
    return auth.claim(token=offer.token, about={}).enrolment


def wrong(number: str) -> str:
    return "10" if number != "10" else "11"


def test_the_right_number_makes_a_phone(waiting: Enrolment, mara: User) -> None:
    device = auth.approve(waiting, f" {waiting.number} ", mara)
    assert (device.label, device.enrolled_by, device.status) == ("Press 4", mara, "active")
    assert list(Device.objects.in_use()) == [device]
    assert not Enrolment.objects.waiting().exists()


def test_a_wrong_number_leaves_two_tries(waiting: Enrolment, mara: User) -> None:
    with pytest.raises(auth.EnrolmentError) as caught:
        auth.approve(waiting, wrong(waiting.number), mara)
    assert caught.value.field == "number"
    assert caught.value.remedy == "Look at the phone again, 2 tries left."
    assert auth.approve(waiting, waiting.number, mara).pk


def test_the_third_wrong_number_ends_it(waiting: Enrolment, mara: User) -> None:
    for _ in range(3):
        with pytest.raises(auth.EnrolmentError) as caught:
            auth.approve(waiting, wrong(waiting.number), mara)
    assert caught.value.remedy == "Invite the phone again."
    with pytest.raises(auth.EnrolmentError, match="no longer waits"):
        auth.approve(waiting, waiting.number, mara)
    assert AuditEvent.objects.filter(kind="wrong_number", by=mara).count() == 3
    assert not Device.objects.exists()


def test_a_number_typed_too_late_lets_nobody_in(waiting: Enrolment, mara: User) -> None:
    Enrolment.objects.update(expires_at=timezone.now() - timedelta(seconds=1))
    with pytest.raises(auth.EnrolmentError, match="no longer waits"):
        auth.approve(waiting, waiting.number, mara)


def test_an_approved_phone_cannot_be_approved_or_refused_again(
    waiting: Enrolment, mara: User
) -> None:
    auth.approve(waiting, waiting.number, mara)
    auth.refuse(waiting, mara)
    with pytest.raises(auth.EnrolmentError, match="no longer waits"):
        auth.approve(waiting, waiting.number, mara)
    assert Device.objects.count() == 1
    assert not AuditEvent.objects.filter(kind="refused").exists()


@pytest.mark.parametrize("label", ["", "   ", "x" * 61])
def test_a_phone_needs_a_name(mara: User, label: str) -> None:
    with pytest.raises(auth.EnrolmentError, match="Give the phone a name of 1 to 60"):
        auth.offer(mara, label)


@pytest.mark.parametrize("scope", [{"admin": True}, {"press": 4}, {"may_turn_with_stencil": "yes"}])
def test_a_phone_may_be_given_only_what_there_is(mara: User, scope: dict) -> None:
    with pytest.raises(auth.EnrolmentError, match="Use only press, may_turn_with_stencil"):
        auth.offer(mara, "Press 4", scope)


def test_the_press_of_a_tablet_is_kept(mara: User) -> None:
    press = str(uuid4())
    offer = auth.offer(mara, "Press 4", {"press": press})
    claimed = auth.claim(token=offer.token, about={}).enrolment
    assert auth.approve(claimed, claimed.number, mara).scope == {"press": press}


def test_retire_block_and_back_are_in_the_audit(phone: Phone, mara: User) -> None:
    device = device_of(phone)
    auth.retire(device, mara)
    auth.retire(device, mara)
    auth.block(device, mara)
    auth.reactivate(device, mara)
    lines = AuditEvent.objects.filter(device=device).values_list("kind", "by_name")
    assert list(lines) == [("reactivated", "mara"), ("blocked", "mara"), ("retired", "mara")]
    assert phone.get("me").status_code == 200
