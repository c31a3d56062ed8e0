"""A phone sends what it holds, and asks what changed."""

from datetime import datetime
from typing import Any
from uuid import UUID

from django.http import HttpRequest
from django.utils import timezone
from ninja import Query, Router

from frames import feed, log
from frames.errors import Problem
from frames.models import Entry, Feed
from frames.wording import say
from shopfloor import position
from shopfloor.api.access import phone, retired_phone_too
from shopfloor.api.problems import gone, invalid, too_large
from shopfloor.api.shapes import ChangesIn, ChangesOut, PushIn, PushOut, printable, utc
from shopfloor.auth import devices

router = Router(tags=["Sync"])
MOST_ENTRIES = 100
PROTOCOL = 1
# of changes in one answer: entries may have 16 KB each, and a phone takes an answer in whole
MOST_BYTES = 1_000_000


@router.post("push", auth=retired_phone_too, response=PushOut, summary="Send entries")
def push(request: HttpRequest, body: PushIn) -> dict[str, Any]:
    """Stores each entry once, however often it is sent, and answers for each one alone.

    The body may be packed with gzip. At most 100 entries and 256 KB, else 413: send fewer.
    """
    _check_envelope(body)
    now = timezone.now()
    device = request.auth
    receipts = log.append(
        body.entries,
        device=device.name_in_log,
        received_at=now,
        may_turn_with_stencil=device.scope.get("may_turn_with_stencil", True),
        is_gone=devices.is_gone,
        beside=lambda: devices.note_contact(device, now, _seen(body)),
    )
    standing = _standing(now)
    return {
        **standing,
        "resend": not _agrees(body, standing["epoch"]),
        "receipts": receipts,
    }


def _standing(now: datetime) -> dict[str, Any]:
    """Epoch and head, noted beside the database before a phone is told."""
    head = feed.head()
    position.note(head)
    return {"epoch": head.epoch, "server_time": utc(now), "head": head}


def _check_envelope(push: PushIn) -> None:
    if push.protocol not in (None, PROTOCOL):
        remedy = say("Update the older of the two: this server speaks protocol {0}.", PROTOCOL)
        raise invalid([Problem("protocol", push.protocol, remedy)])
    if len(push.entries) > MOST_ENTRIES:
        raise too_large(say("A push may hold 100 entries; this one holds {0}.", len(push.entries)))


def _seen(push: PushIn) -> dict[str, Any]:
    """What the phone says about itself; what it leaves out stays as it was."""
    newest = push.entries[-1] if push.entries else None
    app = newest.get("app") if isinstance(newest, dict) else None
    told = [part.model_dump(mode="json") for part in (push.outbox, push.install) if part]
    return {
        **{name: value for part in told for name, value in part.items()},
        "install_id": str(push.install_id) if push.install_id else None,
        "app": printable(app[:40]) if isinstance(app, str) else None,
    }


def _agrees(push: PushIn, epoch: str) -> bool:
    """Whether this database is the one that gave the phone its receipts and its position.

    An entry answers for itself alone: a late packet may bring it back after a restore. A change
    has an id made at random, so the one that the phone knows answers for all before it.
    """
    if push.epoch and str(push.epoch) != epoch:
        return False
    return _acknowledged(push.acked) and (
        push.head is None or feed.holds(push.head.seq, push.head.id)
    )


def _acknowledged(entry_id: UUID | None) -> bool:
    return entry_id is None or Entry.objects.filter(pk=entry_id).exists()


@router.get("changes", auth=phone, response=ChangesOut, summary="Ask what changed")
def changes(request: HttpRequest, place: Query[ChangesIn]) -> dict[str, Any]:
    """Everything that changed after a position, in order and without gaps.

    410 if the position or the newest acknowledged entry is unknown here, as after a restore:
    push again what is still held, then take a snapshot.
    """
    now = timezone.now()
    devices.note_contact(request.auth, now, _waiting(place))
    standing = _standing(now)
    _check_place(place, standing["epoch"])
    rows, more = feed.page(place.after, place.limit, MOST_BYTES)
    return {**standing, "changes": [_change(row) for row in rows], "more": more}


def _waiting(place: ChangesIn) -> dict[str, Any]:
    oldest = place.oldest_at.isoformat() if place.oldest_at else None
    return {"unsent": place.unsent, "oldest_at": oldest}


def _check_place(place: ChangesIn, epoch: str) -> None:
    if str(place.epoch) != epoch:
        raise gone(say("The database was restored since. Push again, then take a snapshot."))
    for seq, change_id in ((place.after, place.id), (place.head, place.head_id)):
        if seq is not None and not feed.holds(seq, change_id):
            raise gone(say("Change {0} is not the one you saw. Push again, take a snapshot.", seq))
    if not _acknowledged(place.acked):
        raise gone(
            say("Entry {0} is not held here. Push again, then take a snapshot.", place.acked)
        )


def _change(row: Feed) -> dict[str, Any]:
    return {
        "seq": row.seq,
        "id": str(row.change_id),
        "type": row.type,
        "kind": row.kind,
        "object": str(row.object_id),
        "body": row.body,
    }
