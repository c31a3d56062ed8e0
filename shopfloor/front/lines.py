"""A line of requests: a few are being answered, some wait behind them, more are turned away."""

import asyncio
import logging
import time
from collections import Counter
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from dataclasses import dataclass, field

# A phone gives up after 45 s; what has to be done for it must fit in as well.
PATIENCE_S = 15
TELL_EVERY_S = 60
logger = logging.getLogger(__name__)


class Full(Exception):
    """There is no room, or none came free in time."""


@dataclass
class Line:
    name: str
    at_once: int
    longest: int
    patience_s: float = PATIENCE_S
    of_one_address: int | None = None
    standing: Counter[str] = field(default_factory=Counter)
    turned_away: int = 0
    told_at: float = field(default=-TELL_EVERY_S)

    def __post_init__(self) -> None:
        self._free = asyncio.Semaphore(self.at_once)

    @asynccontextmanager
    async def turn(self, whose: str = "") -> AsyncIterator[None]:
        """Wait for a turn and have it; raises Full."""
        of_one = self.of_one_address or self.at_once + self.longest
        if self.standing.total() >= self.at_once + self.longest or self.standing[whose] >= of_one:
            self._turn_away()
        self.standing[whose] += 1
        try:
            await self._wait()
            try:
                yield
            finally:
                self._free.release()
        finally:
            self.standing[whose] -= 1
            self.standing += Counter()  # forgets whoever stands here no more

    async def _wait(self) -> None:
        try:
            async with asyncio.timeout(self.patience_s):
                await self._free.acquire()
        except TimeoutError:
            self._turn_away()

    def _turn_away(self) -> None:
        """Said in the log at most once a minute: a line each would only add to the work."""
        self.turned_away += 1
        now = time.monotonic()
        if now - self.told_at >= TELL_EVERY_S:
            logger.warning("busy: %s are told to come back (%s)", self.name, self.turned_away)
            self.told_at = now
        raise Full
