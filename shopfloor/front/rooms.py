"""Room for bodies that are on their way: counted as bytes come, not as they are announced."""

import asyncio
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field

from shopfloor.front.lines import Full


@dataclass(eq=False)
class Guest:
    """One body. While it is on its way it has a time limit, by which it can also be sent away."""

    whose: str
    size: int = 0
    patience: asyncio.Timeout | None = None
    sent_away: bool = False


@dataclass
class Room:
    """Where it is full, whoever comes is not turned away for those who hang half way: of the
    address that holds most, the body goes that has been coming for longest. So neither many slow
    uploads from one place nor a whole shop behind one address keeps a push out.
    """

    most: int
    held: int = 0
    guests: list[Guest] = field(default_factory=list)

    @contextmanager
    def guest(self, whose: str) -> Iterator[Guest]:
        """A body that is counted among what is held until the block ends."""
        one = Guest(whose)
        self.guests.append(one)
        try:
            yield one
        finally:
            self.guests.remove(one)
            self.held -= one.size

    def take(self, one: Guest, more: int) -> None:
        """Room for that many bytes more; raises Full to whoever has to go for it."""
        while not one.sent_away and self.held + more > self.most:
            self._send_away(self._heaviest())
        if one.sent_away:
            raise Full
        one.size += more
        self.held += more

    def _heaviest(self) -> Guest:
        holds: Counter[str] = Counter()
        for one in self.guests:
            holds[one.whose] += one.size
        # What came whole waits for its turn in a line that is short: it stays.
        coming = [one for one in self.guests if one.patience and one.size]
        if not coming:
            raise Full
        return max(coming, key=lambda one: holds[one.whose])

    def _send_away(self, one: Guest) -> None:
        self.held -= one.size
        one.size, one.sent_away = 0, True
        if one.patience:
            one.patience.reschedule(0)
