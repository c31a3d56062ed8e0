"""How a phone is let in: offered by a manager, claimed by the phone, approved by its number."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from django.conf import settings
from django.db import transaction
from django.db.models import F
from django.utils import timezone

from frames.wording import mark, say, say_many
from shopfloor.auth import audit
from shopfloor.auth.errors import EnrolmentError
from shopfloor.auth.secrets_at_rest import code_digest, digest, new_code, new_number, new_token
from shopfloor.models import AuditEvent, Device, Enrolment

OFFER_LASTS = timedelta(minutes=10)
CLAIM_LASTS = timedelta(minutes=10)
SCOPE = {"press": str, "may_turn_with_stencil": bool}

WRONG = {
    "token": mark("This token is wrong, used up or too old."),
    "code": mark("This code is wrong, used up or too old."),
}
ASK_AGAIN = mark("Ask the manager for a new one on the page Phones.")
Kind = AuditEvent.Kind
Status = Enrolment.Status


@dataclass(frozen=True)
class Offer:
    """What the manager's page shows once: the token as a QR code, the code for typing."""

    token: str
    code: str
    enrolment: Enrolment


@dataclass(frozen=True)
class Claim:
    """What the phone keeps while it waits: a secret to poll with, and the number it shows."""

    secret: str
    enrolment: Enrolment


def enrol_url(token: str) -> str:
    """The token travels in the fragment, which no browser sends and no log keeps."""
    return f"{settings.PUBLIC_ORIGIN}/e#{token}"


def offer(by: Any, label: str, scope: dict[str, Any] | None = None) -> Offer:
    label = label.strip()
    if not 1 <= len(label) <= 60:
        raise EnrolmentError(
            "label", label[:80], say("Give the phone a name of 1 to 60 characters.")
        )
    token, code, now = new_token(), new_code(), timezone.now()
    with transaction.atomic():
        enrolment = Enrolment.objects.create(
            label=label,
            scope=_checked(scope or {}),
            offered_by=by,
            offered_at=now,
            expires_at=now + OFFER_LASTS,
            token_hash=digest(token),
            code_hash=code_digest(code),
        )
        audit.record(Kind.OFFERED, now, by=by, enrolment=enrolment, detail=label)
    return Offer(token, code, enrolment)


def _checked(scope: dict[str, Any]) -> dict[str, Any]:
    for name, value in scope.items():
        if not isinstance(value, SCOPE.get(name, ())):
            raise EnrolmentError(
                f"scope.{name}", str(value), say("Use only {0}.", ", ".join(SCOPE))
            )
    return scope


def claim(*, token: str = "", code: str = "", about: dict[str, Any]) -> Claim:
    """A phone takes an invitation up. It is spent by that, whatever happens after."""
    now = timezone.now()
    with transaction.atomic():
        found = _find(token, code, now)
        if found is not None:
            return _take(found, about, now)
        if code:
            _count_wrong_code(now)
    field = "token" if token else "code"
    raise EnrolmentError(field, "", f"{say(WRONG[field])} {say(ASK_AGAIN)}")


def _find(token: str, code: str, now: datetime) -> Enrolment | None:
    offers = Enrolment.objects.select_for_update().open(now)
    if token:
        return offers.filter(token_hash=digest(token)).first()
    return offers.filter(code_hash=code_digest(code), code_tries_left__gt=0).first()


def _count_wrong_code(now: datetime) -> None:
    """A wrong code belongs to no invitation, so it costs each open one a try. The QR code, which
    cannot be guessed, stays good."""
    tried = Enrolment.objects.open(now).filter(code_tries_left__gt=0)
    if tried.update(code_tries_left=F("code_tries_left") - 1):
        audit.record(Kind.WRONG_CODE, now)


def _take(enrolment: Enrolment, about: dict[str, Any], now: datetime) -> Claim:
    secret = new_token()
    enrolment.status = Status.WAITING
    enrolment.claim_hash = digest(secret)
    enrolment.claimed_at = now
    enrolment.expires_at = now + CLAIM_LASTS
    enrolment.number = _free_number(now)
    enrolment.about = about
    enrolment.save()
    audit.record(Kind.CLAIMED, now, enrolment=enrolment, detail=enrolment.label)
    return Claim(secret, enrolment)


def _free_number(now: datetime) -> str:
    """Two phones that wait at once must not show the same number."""
    taken = set(Enrolment.objects.waiting(now).values_list("number", flat=True))
    if len(taken) > 45:
        raise EnrolmentError(
            "code", "", say("Too many phones wait at once. Try again in 10 minutes.")
        )
    number = new_number()
    while number in taken:
        number = new_number()
    return number


def approve(enrolment: Enrolment, number: str, by: Any) -> Device:
    """The manager typed the number that the phone shows, so it is the phone in front of them."""
    now = timezone.now()
    with transaction.atomic():
        enrolment = Enrolment.objects.select_for_update().get(pk=enrolment.pk)
        if enrolment.status != Status.WAITING or enrolment.expires_at <= now:
            raise EnrolmentError(
                "number", number, say("This phone no longer waits: invite it again.")
            )
        if number.strip() == enrolment.number:
            return _let_in(enrolment, by, now)
        left = _count_wrong_number(enrolment, by, now)
    remedy = (
        say_many(
            "Look at the phone again, {0} try left.",
            "Look at the phone again, {0} tries left.",
            left,
        )
        if left
        else say("Invite the phone again.")
    )
    raise EnrolmentError("number", number, remedy)


def _let_in(enrolment: Enrolment, by: Any, now: datetime) -> Device:
    device = Device.objects.create(
        label=enrolment.label, scope=enrolment.scope, enrolled_by=by, approved_at=now
    )
    enrolment.status = Status.APPROVED
    enrolment.device = device
    enrolment.expires_at = now + CLAIM_LASTS
    enrolment.save()
    audit.record(Kind.APPROVED, now, by=by, device=device, enrolment=enrolment, detail=device.label)
    return device


def _count_wrong_number(enrolment: Enrolment, by: Any, now: datetime) -> int:
    enrolment.number_tries_left -= 1
    if enrolment.number_tries_left == 0:
        enrolment.status = Status.REFUSED
    enrolment.save()
    audit.record(Kind.WRONG_NUMBER, now, by=by, enrolment=enrolment, detail=enrolment.label)
    return enrolment.number_tries_left


def refuse(enrolment: Enrolment, by: Any) -> None:
    """Turn a waiting phone away, or take an invitation back."""
    now = timezone.now()
    undecided = Enrolment.objects.filter(pk=enrolment.pk).exclude(status=Status.APPROVED)
    with transaction.atomic():
        if undecided.update(status=Status.REFUSED):
            audit.record(Kind.REFUSED, now, by=by, enrolment=enrolment, detail=enrolment.label)
