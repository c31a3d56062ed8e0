"""A book that grows as long as it is asked to: things by their door, entries by theirs.

The bulk path is the door itself with larger batches: `log.append` takes any number of entries at
once, steps state once for all of them, and leaves the entries and the state that it would leave one
by one (`tests/log/test_state_rows.py`); only steps of state between them are not told in the feed.
"""

from uuid import UUID

from django.db import transaction
from django.utils import timezone

from frames import log, things
from frames.models import Entry
from frames.times import moment
from tests.log.making import START_MS, Frame, Maker, Raw
from tests.pages.floor import FRAME, MESH

AT_ONCE = 5000
AT_WORK = 250
ACTS = 0.001
LEEWAY_MS = 3_600_000
NAMED = {
    "mesh": lambda place: MESH | {"name": f"77-48 polyester {place}"},
    "press": lambda place: {"name": f"Press {place}", "stations": 6},
    "meter": lambda place: {"name": f"Meter {place}", "resolution_n_per_cm": 0.5},
    "operator": lambda place: {"name": f"Operator {place}"},
    "job": lambda place: {"number": f"{2290 + place}", "title": "Dial plates", "tolerance_mm": 0.1},
}


class Book:
    """An empty database with a shop of so many frames whose log reaches from START_MS to now."""

    def __init__(self, frames: int, entries: int, phones: int = 8) -> None:
        self.maker = Maker(417, frames, phones)
        self.frames, self.taken = self.maker.frames, 0
        now_ms = int(timezone.now().timestamp() * 1000) - LEEWAY_MS
        self.maker.pace_ms = 2 * (now_ms - START_MS) // entries
        self._furnish()

    @transaction.atomic
    def _furnish(self) -> None:
        things.create("shop", {"name": "Quay Street Print", "prefix": "F"}, "bench")
        for kind, values in NAMED.items():
            for place, id in enumerate(self.maker.book[kind], 1):
                things.create(kind, values(place), "bench", id=UUID(id))
        for number, frame in enumerate(self.frames, 1):
            things.create("frame", FRAME | {"number": number}, "bench", id=UUID(frame.id))

    def take(self, size: int) -> list[Raw]:
        """The next entries, at most so many: first a mesh for every frame, then what happens."""
        if bare := [frame for frame in self.frames if not frame.screen][:size]:
            return [self._fitted(frame) for frame in bare]
        first = self.taken // AT_ONCE * AT_WORK % len(self.frames)
        self.maker.frames = self.frames[first : first + AT_WORK]
        self.taken += size
        return self._happening(size)

    def _fitted(self, frame: Frame) -> Raw:
        self.maker.now_ms += self.maker.pace_ms // 2
        return self.maker.fit(frame)

    def _happening(self, size: int) -> list[Raw]:
        made: list[Raw] = []
        while len(made) < size:
            entry = self.maker.next()
            made.append(entry)
            if self.maker.random.random() < ACTS and len(made) < size:
                made.append(self.maker.void(entry))
        for frame in self.maker.frames:  # so many entries are not kept twice
            frame.entries.clear()
        return made

    def grow(self, to: int, *, at_once: int = AT_ONCE) -> None:
        """Fill the log until it holds so many entries."""
        missing = to - Entry.objects.count()
        while missing > 0:
            made = self.take(min(at_once, missing))
            received_at = moment(self.maker.now_ms)
            receipts = log.append(made, device="phone:bench", received_at=received_at)
            assert {receipt.status for receipt in receipts} == {"stored"}
            missing -= len(made)
