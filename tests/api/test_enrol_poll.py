"""POST enrol/poll: the phone waits for the manager, then gets its cookie."""

from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.conf import settings
from django.contrib.auth.models import User
from django.utils import timezone

from shopfloor import auth
from shopfloor.models import AuditEvent, Device, Enrolment
from tests.api.cast import Phone, device_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def claim(stranger: Phone, mara: User) -> dict[str, str]:
    """An invitation taken up by the stranger, who now waits."""
    offer = auth.offer(mara, "Press 4", {"may_turn_with_stencil": False})
    body = {"token": offer.token, "install_id": str(uuid4())}
    return stranger.post("enrol/claim", body).json()


def poll(phone: Phone, claim: dict[str, str]) -> Any:
    return phone.post("enrol/poll", {"claim": claim["claim"]})


def approve(claim: dict[str, str], by: User) -> Device:
    return auth.approve(Enrolment.objects.get(), claim["number"], by)


def test_before_the_manager_typed_the_number_it_waits(stranger: Phone, claim: dict) -> None:
    answer = poll(stranger, claim)
    assert answer.json() == {"status": "waiting", "device": None}
    assert settings.DEVICE_COOKIE_NAME not in answer.cookies


def test_approved_it_gets_the_cookie_and_is_let_in(
    stranger: Phone, claim: dict, mara: User
) -> None:
    device = approve(claim, mara)
    answer = poll(stranger, claim)
    assert answer.json() == {
        "status": "approved",
        "device": {
            "id": str(device.pk),
            "label": "Press 4",
            "scope": {"may_turn_with_stencil": False},
            "status": "active",
        },
    }
    assert device_of(stranger) == device
    assert stranger.get("me").status_code == 200


def test_the_cookie_is_opaque_and_shut_to_scripts(stranger: Phone, claim: dict, mara: User) -> None:
    approve(claim, mara)
    cookie = poll(stranger, claim).cookies[settings.DEVICE_COOKIE_NAME]
    # 43 characters of base64url carry 32 bytes (RFC 4648, section 5)
    assert len(cookie.value) == 43
    assert cookie["httponly"]
    assert cookie["samesite"] == "Lax"
    assert cookie["max-age"] == timedelta(days=180).total_seconds()
    assert cookie["path"] == "/"
    assert not cookie["domain"]
    assert cookie.value not in str(vars(Device.objects.get()))


def test_an_answer_lost_on_the_way_may_be_asked_for_again(
    stranger: Phone, claim: dict, mara: User
) -> None:
    approve(claim, mara)
    lost = poll(stranger, claim).cookies[settings.DEVICE_COOKIE_NAME].value
    again = poll(stranger, claim).cookies[settings.DEVICE_COOKIE_NAME].value
    assert lost != again
    assert stranger.get("me").status_code == 200


def test_once_the_cookie_was_used_nobody_gets_another(
    stranger: Phone, claim: dict, mara: User
) -> None:
    approve(claim, mara)
    poll(stranger, claim)
    stranger.push()
    answer = poll(Phone(), claim)
    assert answer.json()["status"] == "expired"
    assert settings.DEVICE_COOKIE_NAME not in answer.cookies


def test_a_phone_turned_away_is_told_so(stranger: Phone, claim: dict, mara: User) -> None:
    auth.refuse(Enrolment.objects.get(), mara)
    assert poll(stranger, claim).json()["status"] == "refused"


def test_nobody_waits_for_ever(stranger: Phone, claim: dict) -> None:
    Enrolment.objects.update(expires_at=timezone.now())
    assert poll(stranger, claim).json()["status"] == "expired"


def test_an_unknown_claim_is_expired(stranger: Phone, db: None) -> None:
    assert poll(stranger, {"claim": "made up"}).json()["status"] == "expired"


def test_the_whole_way_is_in_the_audit(stranger: Phone, claim: dict, mara: User) -> None:
    device = approve(claim, mara)
    lines = list(AuditEvent.objects.values_list("kind", "by_name", "detail"))
    assert lines == [
        ("approved", "mara", "Press 4"),
        ("claimed", "", "Press 4"),
        ("offered", "mara", "Press 4"),
    ]
    assert AuditEvent.objects.first().device == device
