"""Stands between the web server and Django, so that neither slow nor many visitors stop the shop.

A body is read to its end before any thread is taken up with it, and requests are then let in a
few at a time; whoever finds the line too long is told when to come back. As an ASGI application
it costs one thread hop a request.
"""

import asyncio
from asyncio import AbstractEventLoop
from concurrent.futures import ThreadPoolExecutor

from django.conf import settings

from shopfloor.caps import API
from shopfloor.front.answers import put_off, too_late, too_long
from shopfloor.front.arriving import Arriving, HungUp, TooLate, TooLong
from shopfloor.front.inside import Inside
from shopfloor.front.lines import Full, Line
from shopfloor.front.types import Receive, Scope, Send, Whole
from shopfloor.front.visitors import address

# SQLite has one writer at a time and Python one thread at work: more at once only wait elsewhere.
PHONES_AT_ONCE, PAGES_AT_ONCE = 3, 2
# Behind them: some ten seconds of pushes, and the files of many phones that open the app at once.
PHONES_IN_LINE, PAGES_IN_LINE = 60, 200
# A password takes a third of a second of a processor, whoever types it: one at a time, so that
# guesses keep nobody from the pages, and few of one address, so that they leave others a turn.
SIGN_INS_AT_ONCE, SIGN_INS_IN_LINE, SIGN_INS_OF_ONE = 1, 12, 4
# Whoever watches over the server wants to know whether it lives, not whether it is busy.
ALIVE = "/health"
WATCHERS_AT_ONCE, WATCHERS_IN_LINE = 1, 20


class Front:
    def __init__(self) -> None:
        self.phones = Line("phones", PHONES_AT_ONCE, PHONES_IN_LINE)
        self.pages = Line("pages", PAGES_AT_ONCE, PAGES_IN_LINE)
        self.sign_ins = Line(
            "sign-ins", SIGN_INS_AT_ONCE, SIGN_INS_IN_LINE, of_one_address=SIGN_INS_OF_ONE
        )
        self.watchers = Line("watchers", WATCHERS_AT_ONCE, WATCHERS_IN_LINE)
        self.arriving = Arriving()
        self.inside = Inside()
        # One for each that may be let in, so that nobody waits for a thread behind another line.
        at_once = PHONES_AT_ONCE + PAGES_AT_ONCE + SIGN_INS_AT_ONCE + WATCHERS_AT_ONCE
        self.threads = ThreadPoolExecutor(at_once, "request")

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
        async with self._line(scope).turn(address(scope)):
            await self._answer(scope, body, send)

    def _line(self, scope: Scope) -> Line:
        path = scope["path"]
        if path.startswith(API):
            return self.phones
        if path == ALIVE:
            return self.watchers
        signs_in = path == settings.LOGIN_URL and scope["method"] == "POST"
        return self.sign_ins if signs_in else self.pages

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
