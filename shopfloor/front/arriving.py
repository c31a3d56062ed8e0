"""Reads bodies to their end, however slowly they come, without a thread that waits for them."""

import asyncio
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager

from shopfloor import caps
from shopfloor.front.lines import Full
from shopfloor.front.types import Receive, Scope, header

# A phone gives a request up after 45 s.
WITHIN_S = 60
# All bodies together that are on their way or being worked on.
MOST_HELD = 64 * 1024 * 1024


class HungUp(Exception):
    """The visitor left in the middle; there is nobody to answer."""


class TooLate(Exception):
    """The body did not come in time."""


class TooLong(Exception):
    """A body that did not say its length went on past the limit."""


class Arriving:
    def __init__(self) -> None:
        self.held = 0

    @asynccontextmanager
    async def body(self, scope: Scope, receive: Receive) -> AsyncIterator[bytes]:
        """The whole body, counted among what is held until the block ends.

        One that says it is too long is not read: Django refuses it by its length alone.
        """
        limit = caps.largest(scope["path"])
        room = _announced(scope, limit)
        if room > limit:
            yield b""
            return
        if self.held + room > MOST_HELD:
            raise Full
        self.held += room
        try:
            yield await _read(receive, limit) if room else b""
        finally:
            self.held -= room


def _announced(scope: Scope, limit: int) -> int:
    """Bytes to make room for; without a length whatever may come at most."""
    length = header(scope, b"content-length")
    if length.isdigit():
        return int(length)
    return limit if header(scope, b"transfer-encoding") else 0


async def _read(receive: Receive, limit: int) -> bytes:
    parts: list[bytes] = []
    try:
        async with asyncio.timeout(WITHIN_S):
            while True:
                event = await receive()
                if event["type"] == "http.disconnect":
                    raise HungUp
                parts.append(event.get("body", b""))
                if sum(map(len, parts)) > limit:
                    raise TooLong
                if not event.get("more_body"):
                    return b"".join(parts)
    except TimeoutError:
        raise TooLate from None
