"""Stands between the web server and Django, so that neither slow nor many visitors stop the shop.

A body is read to its end before any thread is taken up with it, and requests are then let in a
few at a time; whoever finds the line too long is told when to come back. As an ASGI application
it costs one thread hop a request.
"""

import asyncio
from asyncio import AbstractEventLoop
from concurrent.futures import ThreadPoolExecutor

from shopfloor.front.answers import put_off, too_late, too_long
from shopfloor.front.arriving import Arriving, HungUp, TooLate, TooLong
from shopfloor.front.inside import Inside
from shopfloor.front.lines import Full, Line
from shopfloor.front.types import Receive, Scope, Send, Whole

# SQLite has one writer at a time and Python one thread at work: more at once only wait elsewhere.
PHONES_AT_ONCE, PAGES_AT_ONCE = 3, 2
# Behind them: some ten seconds of pushes, and the files of many phones that open the app at once.
PHONES_IN_LINE, PAGES_IN_LINE = 60, 200
# Whoever watches over the server wants to know whether it lives, not whether it is busy.
ALIVE = "/health"


class Front:
    def __init__(self) -> None:
        self.phones = Line("phones", PHONES_AT_ONCE, PHONES_IN_LINE)
        self.pages = Line("pages", PAGES_AT_ONCE, PAGES_IN_LINE)
        self.arriving = Arriving()
        self.inside = Inside()
        self.threads = ThreadPoolExecutor(PHONES_AT_ONCE + PAGES_AT_ONCE + 1, "request")

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            return
        try:
            async with self.arriving.body(scope, receive) as body:
                await self._let_in(scope, body, send)
        except HungUp:
            return
        except Full:
            await say(put_off(scope), send)
        except TooLate:
            await say(too_late(scope), send)
        except TooLong:
            await say(too_long(scope), send)

    async def _let_in(self, scope: Scope, body: bytes, send: Send) -> None:
        if scope["path"] == ALIVE:
            await self._answer(scope, body, send)
            return
        line = self.phones if scope["path"].startswith("/api/") else self.pages
        async with line.turn():
            await self._answer(scope, body, send)

    async def _answer(self, scope: Scope, body: bytes, send: Send) -> None:
        loop = asyncio.get_running_loop()
        told = FromThread(loop, send)
        whole = await loop.run_in_executor(self.threads, self.inside.answer, scope, body, told)
        if whole is not None:
            await say(whole, send)


class FromThread:
    """Lets a thread send an answer piece by piece, each before it makes the next one."""

    PATIENCE_S = 60

    def __init__(self, loop: AbstractEventLoop, send: Send) -> None:
        self.loop, self.send = loop, send

    def __call__(self, event: dict[str, object]) -> None:
        asyncio.run_coroutine_threadsafe(self._sent(event), self.loop).result(self.PATIENCE_S)

    async def _sent(self, event: dict[str, object]) -> None:
        # A server's own `send` may return any awaitable; only a coroutine can be handed over.
        await self.send(event)


async def say(whole: Whole, send: Send) -> None:
    await send(whole.start())
    await send({"type": "http.response.body", "body": whole.body})
