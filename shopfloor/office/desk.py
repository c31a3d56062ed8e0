"""Entries written at a desk: the same log, the same door, the device is `desk:username`."""

import secrets
from datetime import datetime
from typing import Any
from uuid import UUID, uuid5

from django.utils import timezone

from frames import feed, log
from frames.models import Entry

APP = "office"
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
    """Put one entry into the log for the account `by`; `at` is when it happened, now if None."""
    now, device = timezone.now(), f"desk:{by}"
    with feed.change():
        # the counter's row is held here, so no other page of this desk takes the same number
        if Entry.objects.filter(pk=id, device=device).exists():
            return log.Receipt(id, 0, "duplicate")
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
    newest = Entry.objects.filter(install_id=install).order_by("-device_seq")
    return (newest.values_list("device_seq", flat=True).first() or 0) + 1
