"""Reads bodies to their end, however slowly they come, without a thread that waits for them."""

import asyncio
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager

from shopfloor import caps
from shopfloor.front.lines import Full
from shopfloor.front.rooms import Guest, Room
from shopfloor.front.types import Receive, Scope, header
from shopfloor.front.visitors import address, has_session

# A phone gives a request up after 45 s.
WITHIN_S = 60
MB = 1024 * 1024
# Bodies that are on their way or being worked on. Phones and forms have more than all that may
# stand in line can hold, so that what hangs half way is all that ever has to make room.
MOST_OF_PHONES, MOST_OF_FORMS, MOST_OF_FILES = 24 * MB, 64 * MB, 64 * MB


class HungUp(Exception):
    """The visitor left in the middle; there is nobody to answer."""


class TooLate(Exception):
    """The body did not come in time."""


class TooLong(Exception):
    """A body that did not say its length went on past the limit."""


class Arriving:
    def __init__(self) -> None:
        self.phones, self.forms = Room(MOST_OF_PHONES), Room(MOST_OF_FORMS)
        self.files = Room(MOST_OF_FILES)

    @asynccontextmanager
    async def body(self, scope: Scope, receive: Receive) -> AsyncIterator[bytes]:
        """The whole body, counted among what is held until the block ends.

        One that says it is too long is not read: Django refuses it by its length alone.
        """
        limit = caps.largest(scope["path"], signed_in=has_session(scope))
        length = header(scope, b"content-length")
        announced = int(length) if length.isdigit() else 0
        unknown = not length.isdigit() and header(scope, b"transfer-encoding")
        if announced > limit or not (announced or unknown):
            yield b""
            return
        room = self._room(scope["path"], limit)
        with room.guest(address(scope)) as guest:
            yield await _read(receive, limit, room, guest)

    def _room(self, path: str, limit: int) -> Room:
        if limit == caps.LARGEST:
            return self.files
        return self.phones if path.startswith(caps.API) else self.forms


async def _read(receive: Receive, limit: int, room: Room, guest: Guest) -> bytes:
    body = bytearray()
    try:
        async with asyncio.timeout(WITHIN_S) as guest.patience:
            while True:
                event = await receive()
                if event["type"] == "http.disconnect":
                    raise HungUp
                part = event.get("body", b"")
                if len(body) + len(part) > limit:
                    raise TooLong
                room.take(guest, len(part))
                body += part
                if not event.get("more_body"):
                    return bytes(body)
    except TimeoutError:
        raise Full if guest.sent_away else TooLate from None
    finally:
        guest.patience = None
