"""The only writer of entries: every entry that can be read is stored once, whoever sends it again.

One transaction per batch, under the feed's counter: what is new gets consecutive places in the
feed, state follows, and each entry has its own receipt. One bad entry never stops the others.
"""

import hashlib
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any
from uuid import UUID

from frames import feed, flags, intake, state
from frames.entries import check_place, is_known, parse_payload
from frames.errors import Problem, Unreadable
from frames.folding import as_corrected
from frames.intake import Reading
from frames.models import Entry, InstallState, Refused
from frames.wording import say

# who sends, as the names of devices begin
PHONE, BY_HAND, DEMO = "phone:", "import:", "demo:"


@dataclass(frozen=True)
class Receipt:
    """The answer for one entry: by its id, or by its place in the batch if it has none."""

    id: str | None
    place: int
    status: str
    seq: int | None = None
    flags: list[str] = field(default_factory=list)
    problem: dict[str, Any] | None = None

    def body(self) -> dict[str, Any]:
        name = {"id": self.id} if self.id else {"place": self.place}
        rest = {"seq": self.seq, "flags": self.flags, "problem": self.problem}
        return name | {"status": self.status} | rest


@dataclass
class Batch:
    """What is known while one batch is taken in: stored rows by id, old and new."""

    device: str
    received_at: datetime
    turn: feed.Change
    stored: dict[UUID, Entry]
    is_gone: Callable[[str], bool]
    fresh: list[Entry] = field(default_factory=list)


def append(
    raws: list[Any],
    *,
    device: str,
    received_at: datetime,
    may_turn_with_stencil: bool = True,
    is_gone: Callable[[str], bool] = lambda phone: False,
    beside: Callable[[], None] = lambda: None,
) -> list[Receipt]:
    """Store what is new of a batch, in the order of the batch; one receipt per entry.

    What a phone may not do is flagged, never refused: a log holds what was done. `is_gone` says of
    a phone that another may go on with its numbering. `beside` is what the sender has to keep in
    the same transaction: each of them waits for the disk.
    """
    readings = [intake.read(place, sent) for place, sent in enumerate(raws)]
    with feed.change() as turn:
        batch = Batch(device, received_at, turn, _stored(readings), is_gone)
        receipts = [_take(batch, reading) for reading in readings]
        if batch.fresh:
            installs = InstallState.objects.in_bulk({row.install_id for row in batch.fresh})
            highest = {id: install.highest for id, install in installs.items()}
            flags.mark(
                batch.fresh, batch.stored, highest, may_turn_with_stencil=may_turn_with_stencil
            )
            _store(batch, installs)
        beside()
    return receipts


def _stored(readings: list[Reading]) -> dict[UUID, Entry]:
    """Rows that the batch repeats, corrects or voids."""
    raws = [reading.entry.raw for reading in readings if reading.entry]
    ids = {raw["id"] for raw in raws} | {intake.target_of(raw) for raw in raws}
    return Entry.objects.in_bulk(ids - {None})


def _take(batch: Batch, reading: Reading) -> Receipt:
    if not reading.entry:
        return _refuse(batch, reading, reading.problems)
    before = batch.stored.get(UUID(reading.entry.raw["id"]))
    if before and before.digest == reading.digest:
        return Receipt(reading.id, reading.place, "duplicate", before.seq, before.flags)
    if before:
        remedy = say("Save it again as a new entry: another one with this id is stored already.")
        return _refuse(batch, reading, [Problem("id", reading.id, remedy)])
    if misfits := _misfits(batch, reading):
        return _refuse(batch, reading, misfits)
    row = intake.row(reading, batch.turn.reserve(), batch.device, batch.received_at)
    batch.stored[row.id] = row
    batch.fresh.append(row)
    # `flags` is filled in place once the whole batch is read
    return Receipt(reading.id, reading.place, "stored", row.seq, row.flags)


def _misfits(batch: Batch, reading: Reading) -> list[Problem]:
    """What keeps a correction from standing in for the entry that it names, if that is known."""
    raw = reading.entry.raw
    target = batch.stored.get(UUID(intake.target_of(raw) or raw["id"]))
    if raw["kind"] != "correction" or not target or not is_known(target.raw):
        return []
    try:
        corrected = as_corrected(target.raw, raw)
        check_place(corrected)
        parse_payload(target.kind, corrected["payload"])
    except Unreadable as error:
        return error.problems
    return []


def _refuse(batch: Batch, reading: Reading, problems: list[Problem]) -> Receipt:
    """Keep a copy, once per text and device, and say what to do."""
    text = intake.as_text(reading.sent)
    reason = {
        "title": say(Unreadable.title),
        "detail": " ".join(dict.fromkeys(problem.remedy for problem in problems)),
        **problems[0].body(),
        "errors": [problem.body() for problem in problems],
    }
    Refused.objects.get_or_create(
        device=batch.device,
        digest=hashlib.sha256(text.encode()).hexdigest(),
        defaults={"raw": text, "reason": reason, "at": batch.received_at},
    )
    return Receipt(reading.id, reading.place, "refused", problem=reason)


def _store(batch: Batch, installs: dict[UUID, InstallState]) -> None:
    Entry.objects.bulk_create(batch.fresh)
    for row in batch.fresh:
        batch.turn.put(row.seq, "entry", row.kind, row.id, row.body())
    _tell_corrected(batch)
    state.refresh(batch.turn, [row for row in batch.fresh if is_known(row.raw)])
    _count(batch, installs)


def _tell_corrected(batch: Batch) -> None:
    """A correction may bring an old entry to a screen whose phones never held that entry."""
    fresh = {row.id for row in batch.fresh}
    targets = {row.target_id for row in batch.fresh if row.kind == "correction"}
    for id in sorted((targets & batch.stored.keys()) - fresh):
        row = batch.stored[id]
        batch.turn.append("entry", row.kind, row.id, row.body())


def _count(batch: Batch, installs: dict[UUID, InstallState]) -> None:
    """Keep each phone's numbering, so that gaps in it can be seen."""
    by_install: dict[UUID, list[Entry]] = {}
    for row in batch.fresh:
        by_install.setdefault(row.install_id, []).append(row)
    for install_id, rows in by_install.items():
        begun = InstallState(install_id=install_id, device=batch.device, highest=0, stored=0)
        install = installs.setdefault(install_id, begun)
        numbers = [row.device_seq for row in rows if "number_leapt" not in row.flags]
        owns = _owns(batch, install.device)
        if owns and not batch.device.startswith(BY_HAND):
            install.device = batch.device
        install.last_received_at = batch.received_at
        _raise(install, rows, max(numbers, default=0) if owns else 0)
    InstallState.objects.put(list(installs.values()))


def _owns(batch: Batch, owner: str) -> bool:
    """Whether the sender may number on: under another phone's name it could make up gaps there.

    People at desks may, who bring in what a phone held; a phone let in anew goes on with what it
    has, once it was said that the one before is out of use.
    """
    if owner == batch.device or not batch.device.startswith(PHONE):
        return True
    return batch.is_gone(owner) if owner.startswith(PHONE) else owner.startswith((BY_HAND, DEMO))


def _raise(install: InstallState, rows: list[Entry], highest: int) -> None:
    """Count what came, up to the highest number; what stood above it already is counted now."""
    below = [row for row in rows if row.device_seq <= install.highest]
    install.stored += sum("number_reused" not in row.flags for row in below)
    if highest > install.highest:
        own = Entry.objects.filter(install_id=install.install_id)
        reached = own.filter(device_seq__gt=install.highest, device_seq__lte=highest)
        install.stored += reached.values("device_seq").distinct().count()
        install.highest = highest
