"""Everything that a phone holds, page by page: things, state, entries."""

import hashlib
import json
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from django.core import signing
from django.db.models import Model, Q, QuerySet
from django.http import HttpRequest, HttpResponse
from django.utils import timezone
from django.utils.http import parse_etags
from ninja import Query, Router

from frames import feed
from frames.feed import Head
from frames.models import STATES, THINGS, Derived, Entry, ScreenState
from frames.wording import say
from shopfloor import position
from shopfloor.api.access import phone
from shopfloor.api.problems import gone, unreadable
from shopfloor.api.shapes import SnapshotOut, utc
from shopfloor.auth import devices

router = Router(tags=["Sync"])
PAGE = 1000
MOST_BYTES = 1_000_000
SALT = "snapshot cursor"

# These say which mesh a frame carries and where it is, so no frame can be folded without them.
OF_THE_FRAME = ("mesh_fitted", "mesh_removed", "burst", "moved", "bolt_state")
# From a job's signed sheet on, a phone tells what has changed.
OF_A_JOB = ("ok_sheet",)
MENDING = ("correction", "void")
SECTIONS = [
    *(("thing", kind) for kind in THINGS),
    *(("state", kind) for kind in [*STATES, *Derived.TOLD]),
    ("entry", ""),
]


@dataclass(frozen=True)
class Cursor:
    """Where the next page begins, and the feed position of the first page."""

    head: Head
    section: int = 0
    key: str = ""

    def text(self) -> str:
        parts = [self.head.epoch, self.head.seq, self.head.id, self.section, self.key]
        return signing.dumps(parts, salt=SALT)


def held_by_phones() -> QuerySet[Entry]:
    """Entries of screens that have not ended, OK sheets, what no frame can be folded without.

    A screen may not have begun here yet, because the phone that fitted its mesh has not sent so.
    A correction may bring an entry over from a screen that has ended, so entries that a
    correction names are held as well.
    """
    ended = ScreenState.objects.filter(ended_at__isnull=False).values("screen")
    corrected = Entry.objects.filter(kind="correction").values("target_id")
    return Entry.objects.filter(
        Q(screen_id__isnull=False) & ~Q(screen_id__in=ended)
        | Q(screen_id=None, frame_id__isnull=False)
        | Q(kind__in=[*OF_THE_FRAME, *OF_A_JOB, *MENDING])
        | Q(pk__in=corrected)
    )


def _rows(type: str, kind: str) -> QuerySet:
    if type == "thing":
        return THINGS[kind].objects.order_by("pk")
    if type == "entry":
        return held_by_phones().order_by("seq")
    if kind in Derived.TOLD:
        return Derived.objects.of_kind(kind).order_by("pk")
    states = ScreenState.objects.live() if kind == "screen" else STATES[kind].objects.all()
    return states.order_by("pk")


def _items(cursor: Cursor) -> Iterator[tuple[dict[str, Any], Cursor]]:
    """Items from the cursor on, each with the cursor that follows it."""
    for section in range(cursor.section, len(SECTIONS)):
        type, kind = SECTIONS[section]
        order = "seq" if type == "entry" else "pk"
        rows = _rows(type, kind)
        if section == cursor.section and cursor.key:
            rows = rows.filter(**{f"{order}__gt": cursor.key})
        for row in rows[: PAGE + 1]:
            body = row.body if type == "state" else row.body()
            item = {"type": type, "kind": kind or row.kind, "object": _object(row), "body": body}
            yield item, Cursor(cursor.head, section, str(getattr(row, order)))


def _object(row: Model) -> str:
    """What an item is about: derived rows are kept by kind and screen, and told by screen."""
    return str(row.screen if isinstance(row, Derived) else row.pk)


@router.get("snapshot", auth=phone, response=SnapshotOut, summary="Take everything")
def snapshot(
    request: HttpRequest, response: HttpResponse, after: Query[str | None] = None
) -> dict[str, Any] | HttpResponse:
    """All things, the state of frames, live screens and meters, and the entries behind them.

    Answers 304 if nothing changed since the ETag sent in If-None-Match.
    """
    now, head = timezone.now(), feed.head()
    position.note(head)
    devices.note_contact(request.auth, now)
    cursor = _read(after, head) if after else Cursor(head)
    tag = _tag(head, after)
    if tag in parse_etags(request.headers.get("If-None-Match", "")):
        return HttpResponse(status=304, headers={"ETag": tag})
    response["ETag"] = tag
    response["Cache-Control"] = "private, no-cache"
    items, following = _page(cursor)
    return {
        "epoch": cursor.head.epoch,
        "seq": cursor.head.seq,
        "id": cursor.head.id,
        "server_time": utc(now),
        "items": items,
        "next": following,
    }


def _page(cursor: Cursor) -> tuple[list[dict[str, Any]], str | None]:
    items: list[dict[str, Any]] = []
    last, size = cursor, 0
    for item, here in _items(cursor):
        size += len(json.dumps(item["body"]))
        if len(items) == PAGE or (items and size > MOST_BYTES):
            return items, last.text()
        items.append(item)
        last = here
    return items, None


def _read(text: str, now: Head) -> Cursor:
    try:
        epoch, seq, id, section, key = signing.loads(text, salt=SALT)
    except (signing.BadSignature, ValueError) as error:
        raise unreadable(
            say("`after` is no cursor of this server. Begin the snapshot anew.")
        ) from error
    if epoch != now.epoch or not feed.holds(seq, id):
        raise gone(say("The database was restored meanwhile. Begin the snapshot anew."))
    return Cursor(Head(epoch, seq, id), section, key)


def _tag(head: Head, after: str | None) -> str:
    text = f"{head.epoch} {head.seq} {head.id} {after}"
    return f'W/"{hashlib.sha256(text.encode()).hexdigest()[:32]}"'
