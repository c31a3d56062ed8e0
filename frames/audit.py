"""Proves the book: entries against their digests, the feed against the tables, state by replay.

Reads only. What it finds is either trouble (the book contradicts itself) or worth knowing
(entries that a phone has numbered and that have not arrived).
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import islice
from typing import Any
from uuid import UUID

from django.db.models import Count, Exists, Max, Min, Model, OuterRef, QuerySet

from frames import intake, links, rows, state
from frames.models import STATES, THINGS, Counter, Derived, Entry, Feed, InstallState

CHUNK = 500
NOT_IN_THE_BOOK = "is in the feed, but not in the book"


@dataclass(frozen=True)
class Finding:
    about: str
    text: str
    is_trouble: bool = True


def findings() -> Iterator[Finding]:
    damaged = False
    for finding in entries():
        damaged = damaged or finding.is_trouble
        yield finding
    yield from numbering()
    yield from feed_numbers()
    yield from feed_bodies()
    if damaged:
        yield Finding("state", "was not compared: entries are damaged")
    else:
        yield from replays()


def entries() -> Iterator[Finding]:
    """Each entry still is what was received, and is filed under what it says."""
    for row in Entry.objects.order_by("seq").iterator(CHUNK):
        reading = intake.read(0, row.raw)
        if reading.problems and state.came_unknown(row):
            told = "came when its kind was not known, cannot be read, and counts for nothing"
            yield Finding(f"entry {row.id}", told, is_trouble=False)
        elif reading.problems:
            yield Finding(f"entry {row.id}", "its content cannot be read")
        elif reading.digest != row.digest:
            yield Finding(f"entry {row.id}", "its content does not match its digest")
        elif wrong := [n for n, value in intake.filed(row.raw).items() if getattr(row, n) != value]:
            yield Finding(f"entry {row.id}", f"filed wrongly by {', '.join(wrong)}")


def numbering() -> Iterator[Finding]:
    """What each phone has numbered; a gap may still be waiting in its outbox."""
    counted = Entry.objects.values("install_id").annotate(
        highest=Max("device_seq"), stored=Count("device_seq", distinct=True)
    )
    kept = InstallState.objects.in_bulk()
    for install in counted.order_by("install_id"):
        name, highest, stored = (
            f"phone {install['install_id']}",
            install["highest"],
            install["stored"],
        )
        row = kept.get(install["install_id"])
        if row and row.highest < highest and not _should_count_above(row):
            highest, stored = row.highest, len(_numbers(row.install_id, row.highest))
        if row is None or (row.highest, row.stored) != (highest, stored):
            yield Finding(name, "the count of its entries is not the number of its entries")
        if highest != stored:
            gaps = ", ".join(_gaps(_numbers(install["install_id"], highest)))
            yield Finding(name, f"has not sent its entries numbered {gaps}", is_trouble=False)


def _should_count_above(row: InstallState) -> bool:
    """Other phones may claim numbers above the highest, and its own may have leapt there."""
    claimed = Entry.objects.filter(install_id=row.install_id, device_seq__gt=row.highest)
    own = claimed.filter(device=row.device).values_list("flags", flat=True)
    return any("number_leapt" not in flags for flags in own)


def _numbers(install_id: UUID, highest: int) -> list[int]:
    sent = Entry.objects.filter(install_id=install_id, device_seq__lte=highest)
    return list(sent.order_by("device_seq").values_list("device_seq", flat=True).distinct())


def _gaps(numbers: list[int]) -> Iterator[str]:
    before = 0
    for number in numbers:
        if number > before + 1:
            yield str(before + 1) if number == before + 2 else f"{before + 1} to {number - 1}"
        before = number


def feed_numbers() -> Iterator[Finding]:
    """The feed counts from 1 to the counter without a hole."""
    stands = Feed.objects.aggregate(first=Min("seq"), last=Max("seq"), count=Count("seq"))
    counter = Counter.objects.filter(pk=1).first()
    at = counter.seq if counter else 0
    if (stands["last"] or 0) != at:
        yield Finding("feed", f"ends at {stands['last']}, the counter stands at {at}")
    elif at and (stands["first"], stands["count"]) != (1, at):
        yield Finding("feed", f"holds {stands['count']} changes of {at}")


def feed_bodies() -> Iterator[Finding]:
    """The last change told about each thing, state and entry is what the tables say."""
    grouped = Feed.objects.exclude(type="entry").order_by("type", "kind", "object_id")
    told = grouped.values_list("type", "kind", "object_id").annotate(last=Max("seq"))
    last = {(type, kind, id): seq for type, kind, id, seq in told}
    for kind, model in THINGS.items():
        yield from _told("thing", kind, model.objects.all(), last, lambda thing: thing.body())
    for kind, model in STATES.items():
        yield from _told("state", kind, model.objects.all(), last, lambda row: row.body)
    for kind in Derived.TOLD:
        rows = Derived.objects.of_kind(kind)
        yield from _told("state", kind, rows, last, lambda row: row.body, lambda row: row.screen)
    for (type, kind, id), seq in last.items():
        if Feed.objects.get(seq=seq).body is not None:
            yield Finding(f"{type} {kind} {id}", NOT_IN_THE_BOOK)
    yield from _told_entries()


def _told_entries() -> Iterator[Finding]:
    """The same for entries, part by part: a log is too long to be held at once."""
    for part in _parts(Entry.objects.order_by("seq").iterator(CHUNK)):
        told = Feed.objects.filter(type="entry", object_id__in=[row.pk for row in part]).order_by()
        last = dict(told.values_list("object_id").annotate(last=Max("seq")))
        pairs = [(row, last.get(row.pk)) for row in part]
        yield from _differing("entry", "", pairs, lambda row: row.body())
    known = Entry.objects.filter(pk=OuterRef("object_id"))
    for kind, id in Feed.objects.filter(~Exists(known), type="entry").values_list(
        "kind", "object_id"
    ):
        yield Finding(f"entry {kind} {id}", NOT_IN_THE_BOOK)


def _parts(rows: Iterator[Entry]) -> Iterator[list[Entry]]:
    while part := list(islice(rows, CHUNK)):
        yield part


def _told(
    type: str,
    kind: str,
    table: QuerySet,
    last: dict[tuple[str, str, UUID], int],
    body: Any,
    id_of: Any = lambda row: row.pk,
) -> Iterator[Finding]:
    """Takes what it finds out of `last`."""
    part: list[tuple[Model, int | None]] = []
    for row in table.order_by("pk").iterator(CHUNK):
        part.append((row, last.pop((type, kind, id_of(row)), None)))
        if len(part) == CHUNK:
            yield from _differing(type, kind, part, body)
            part = []
    yield from _differing(type, kind, part, body)


def _differing(
    type: str, kind: str, part: list[tuple[Model, int | None]], body: Any
) -> Iterator[Finding]:
    told = Feed.objects.in_bulk([seq for _, seq in part if seq])
    for row, seq in part:
        name = f"{type} {kind} {row.pk}".replace("  ", " ")
        if seq is None:
            yield Finding(name, "was never told in the feed")
        elif told[seq].body != body(row):
            yield Finding(name, f"is not what the feed told at {seq}")


def replays() -> Iterator[Finding]:
    """State is what the log says, folded from its first entry."""
    for frame_id in sorted(links.all_frames()):
        said = state.replay([frame_id])
        if rows.frames([frame_id]) != said.frames:
            yield Finding(f"frame {frame_id}", "its state is not what its log says")
        if rows.screens_of([frame_id]) != said.screens:
            yield Finding(f"frame {frame_id}", "its screens are not what its log says")
    for meter_id in sorted(links.all_meters()):
        if rows.meters([meter_id]) != state.replay_meter(meter_id):
            yield Finding(f"meter {meter_id}", "its state is not what its log says")
