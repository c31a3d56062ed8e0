"""Removes what has been kept for as long as was said."""

from datetime import datetime, timedelta

from axes.models import AccessAttempt
from django.contrib.sessions.models import Session

from frames.models import Refused
from shopfloor.exchange.models import Upload
from shopfloor.models import AuditEvent, Enrolment

MONTH, YEARS = timedelta(days=30), timedelta(days=730)


def tidy(now: datetime) -> int:
    """How many rows were past their time."""
    old = (
        Session.objects.filter(expire_date__lt=now),
        AccessAttempt.objects.filter(attempt_time__lt=now - MONTH),
        Enrolment.objects.filter(expires_at__lt=now - MONTH),
        Upload.objects.forgotten(now),
        AuditEvent.objects.filter(at__lt=now - YEARS),
        Refused.objects.filter(settled_at__isnull=False, at__lt=now - YEARS),
    )
    return sum(rows.delete()[0] for rows in old)
