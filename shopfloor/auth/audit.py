"""Writes down who let a phone in or out."""

from datetime import datetime
from typing import Any

from shopfloor.models import AuditEvent


def record(kind: AuditEvent.Kind, at: datetime, *, by: Any = None, **about: Any) -> AuditEvent:
    """One line of the audit; `about` may name device, enrolment and detail."""
    name = by.get_username() if by is not None else ""
    return AuditEvent.objects.create(kind=kind, at=at, by=by, by_name=name, **about)
