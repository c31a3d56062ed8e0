"""One counter, one append-only feed: entries, things and changed state in one order.

Every writer takes the counter row first, so numbers become visible in their own order: a reader
that saw `seq` will never be given a smaller one later.
"""

import uuid
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Any

from django.db import transaction
from django.db.models import TextField
from django.db.models.functions import Cast, Length

from frames.models import Counter, Feed


@dataclass(frozen=True)
class Head:
    """Where the feed stands: `id` is the id of the change at `seq`, None before the first."""

    epoch: str
    seq: int
    id: str | None


@dataclass
class Change:
    """One transaction's turn at the feed, which stood at `begun` before it."""

    begun: int
    seq: int
    rows: list[Feed] = field(default_factory=list)

    def append(self, type: str, kind: str, id: Any, body: dict[str, Any] | None) -> int:
        """Take the next place for an entry, thing or state; a body of None says it is gone."""
        seq = self.reserve()
        self.put(seq, type, kind, id, body)
        return seq

    def reserve(self) -> int:
        """The next place, for a body that has to name it."""
        self.seq += 1
        return self.seq

    def put(self, seq: int, type: str, kind: str, id: Any, body: dict[str, Any] | None) -> None:
        self.rows.append(
            Feed(seq=seq, change_id=uuid.uuid4(), type=type, kind=kind, object_id=id, body=body)
        )


@contextmanager
def change() -> Iterator[Change]:
    """A transaction that holds the counter row until it commits."""
    with transaction.atomic():
        counter, _ = Counter.objects.select_for_update().get_or_create(pk=1)
        turn = Change(counter.seq, counter.seq)
        yield turn
        if turn.seq != turn.begun:
            Feed.objects.bulk_create(turn.rows)
            Counter.objects.filter(pk=1).update(seq=turn.seq)


def head() -> Head:
    counter = Counter.objects.filter(pk=1).first() or Counter.objects.get_or_create(pk=1)[0]
    at_head = Feed.objects.filter(seq=counter.seq).values_list("change_id", flat=True).first()
    return Head(str(counter.epoch), counter.seq, str(at_head) if at_head else None)


def after(seq: int, limit: int) -> list[Feed]:
    """The next changes in order, at most `limit`."""
    return list(Feed.objects.filter(seq__gt=seq).order_by("seq")[:limit])


def page(seq: int, limit: int, most_bytes: int) -> tuple[list[Feed], bool]:
    """The next changes, at most `limit` and about so many bytes, but one; whether more follow."""
    found = Feed.objects.filter(seq__gt=seq).order_by("seq")
    sizes = found.annotate(size=Length(Cast("body", TextField()))).values_list("seq", "size")
    last = total = count = 0
    for seq, size in (asked := list(sizes[: limit + 1])):
        total += size or 0
        if count == limit or (count and total > most_bytes):
            break
        last, count = seq, count + 1
    return list(found.filter(seq__lte=last)), count < len(asked)


def holds(seq: int, id: str | None) -> bool:
    """Whether the change at `seq` is the one that a reader saw there; 0 is where all begin."""
    if seq == 0:
        return True
    return id is not None and Feed.objects.filter(seq=seq, change_id=id).exists()


def new_epoch() -> Head:
    """Say that positions handed out so far are void, as after a restore."""
    with transaction.atomic():
        Counter.objects.get_or_create(pk=1)
        Counter.objects.filter(pk=1).update(epoch=uuid.uuid4())
    return head()
