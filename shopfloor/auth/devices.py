"""A phone is known by its cookie alone: opaque, kept here as a digest, good for 180 days of use."""

from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Any

from django.conf import settings
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.utils import timezone

from shopfloor.auth import audit
from shopfloor.auth.secrets_at_rest import digest, new_cookie
from shopfloor.models import AuditEvent, Device, Enrolment

COOKIE_LASTS = timedelta(days=180)
RENEW_AFTER = timedelta(days=1)
CONTACT_EVERY = timedelta(minutes=1)
Status = Device.Status


def of_request(request: HttpRequest) -> Device | None:
    """The phone that sends this request, whatever its status, or None."""
    secret = request.COOKIES.get(settings.DEVICE_COOKIE_NAME, "")
    if not secret:
        return None
    device = Device.objects.filter(cookie_hash=digest(secret)).first()
    if device is None or device.cookie_until is None or device.cookie_until <= timezone.now():
        return None
    request.renew_device_cookie = _renewed(device, timezone.now())
    return device


def _renewed(device: Device, now: datetime) -> bool:
    if now + COOKIE_LASTS - device.cookie_until < RENEW_AFTER:
        return False
    device.cookie_until = now + COOKIE_LASTS
    device.save(update_fields=["cookie_until"])
    return True


class SlidingCookie:
    """Hands the same cookie out again with a later end, at most once a day."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        response = self.get_response(request)
        if getattr(request, "renew_device_cookie", False):
            set_cookie(response, request.COOKIES[settings.DEVICE_COOKIE_NAME])
        return response


def set_cookie(response: HttpResponse, secret: str) -> None:
    response.set_cookie(
        settings.DEVICE_COOKIE_NAME,
        secret,
        max_age=COOKIE_LASTS,
        secure=settings.ON_HTTPS,
        httponly=True,
        samesite="Lax",
    )


def collect(claim_secret: str) -> tuple[str, Device | None, str]:
    """How an invitation stands: its status, and once approved the phone and its new cookie.

    The answer may get lost on the way, so a phone may collect again until it has used the cookie.
    """
    now = timezone.now()
    with transaction.atomic():
        enrolments = Enrolment.objects.select_for_update()
        found = enrolments.filter(claim_hash=digest(claim_secret)).first()
        if found is None or found.expires_at <= now:
            return "expired", None, ""
        if found.status != Enrolment.Status.APPROVED:
            return str(found.status), None, ""
        if found.device is None or found.device.last_contact_at is not None:
            return "expired", None, ""
        return "approved", found.device, _give_cookie(found.device, now)


def _give_cookie(device: Device, now: datetime) -> str:
    secret = new_cookie()
    device.cookie_hash = digest(secret)
    device.cookie_until = now + COOKIE_LASTS
    device.save(update_fields=["cookie_hash", "cookie_until"])
    return secret


def note_contact(device: Device, now: datetime, seen: dict[str, Any] | None = None) -> None:
    """Keeps what the phone said about itself, without a write for every request."""
    told = {**device.last_seen, **{k: v for k, v in (seen or {}).items() if v is not None}}
    recent = device.last_contact_at and now - device.last_contact_at < CONTACT_EVERY
    if recent and told == device.last_seen:
        return
    device.last_seen, device.last_contact_at = told, now
    device.save(update_fields=["last_seen", "last_contact_at"])


def is_gone(name_in_log: str) -> bool:
    """Whether the phone that goes by this name in the log is out of use here."""
    in_use = Device.objects.filter(status=Status.ACTIVE)
    return name_in_log not in {device.name_in_log for device in in_use}


def retire(device: Device, by: Any) -> None:
    """The phone may still send what it holds, and reads nothing any more."""
    _change(device, Status.RETIRED, AuditEvent.Kind.RETIRED, by)


def block(device: Device, by: Any) -> None:
    """The phone is refused. It keeps its outbox and offers it as a file."""
    _change(device, Status.BLOCKED, AuditEvent.Kind.BLOCKED, by)


def reactivate(device: Device, by: Any) -> None:
    _change(device, Status.ACTIVE, AuditEvent.Kind.REACTIVATED, by)


def _change(device: Device, status: Device.Status, kind: AuditEvent.Kind, by: Any) -> None:
    now = timezone.now()
    with transaction.atomic():
        if Device.objects.filter(pk=device.pk).exclude(status=status).update(status=status):
            audit.record(kind, now, by=by, device=device, detail=device.label)
    device.status = status
