"""Entries written at a desk: the same log, the same door, the device is `desk:username`."""

import secrets
from datetime import datetime
from typing import Any
from uuid import UUID, uuid5

from django.utils import timezone

from frames import feed, log
from frames.models import Entry
from frames.wording import mark
from frames.wording import say as phrase

APP = "office"
WRITTEN_BEFORE = mark(
    "Not written: this form was saved before, with something else in it. Put that entry right in "
    "the log, or open the form anew to write another one."
)
# RFC 9562, section 5.7: version 7 in the bits below the time, variant 2 above the random tail
VERSION_7 = 0x7 << 76
VARIANT = 0x2 << 62


def new_id(now: datetime) -> str:
    """An id for an entry whose form opens now, so that a form sent twice is one entry."""
    milliseconds = int(now.timestamp() * 1000)
    above, below = secrets.randbits(12), secrets.randbits(62)
    return str(UUID(int=milliseconds << 80 | VERSION_7 | above << 64 | VARIANT | below))


def write(
    kind: str,
    payload: dict[str, Any],
    *,
    by: str,
    id: str,
    at: datetime | None = None,
    frame: str | None = None,
    screen: str | None = None,
    subject: dict[str, str] | None = None,
) -> log.Receipt:
    """Put one entry into the log for the account `by`; `at` is when it happened, now if None.

    A form sent twice is one entry. One that was gone back to and says something else now is
    refused: whether it puts the first one right or stands beside it, only the writer knows.
    """
    now, device = timezone.now(), f"desk:{by}"
    said = {"kind": kind, "payload": payload, "frame": frame, "subject": subject}
    if at:
        said["occurred_at"] = at.isoformat(timespec="milliseconds")
    with feed.change():
        # the counter's row is held here, so no other page of this desk takes the same number
        before = Entry.objects.filter(pk=id, device=device).first()
        if before and said.items() <= before.raw.items():
            return log.Receipt(id, 0, "duplicate")
        if before:
            return log.Receipt(id, 0, "refused", problem={"detail": phrase(WRITTEN_BEFORE)})
        head = feed.head()
        install = uuid5(UUID(head.epoch), device)
        raw = {
            "id": id,
            "install_id": str(install),
            "device_seq": next_number(install),
            "kind": kind,
            "v": 1,
            "occurred_at": (at or now).isoformat(timespec="milliseconds"),
            "clock_offset_ms": 0,
            "clock_offset_age_ms": 0,
            "mono_ms": 0,
            "base_seq": head.seq,
            "operator": None,
            "frame": frame,
            "screen": id if kind == "mesh_fitted" else screen,
            "subject": subject,
            "scanned": None,
            "app": APP,
            "payload": payload,
        }
        return log.append([raw], device=device, received_at=now)[0]


def next_number(install: UUID) -> int:
    """After the last one of a desk: a phone may have claimed any number for itself."""
    own = Entry.objects.filter(install_id=install, device__startswith="desk:")
    newest = own.order_by("-device_seq")
    return (newest.values_list("device_seq", flat=True).first() or 0) + 1
