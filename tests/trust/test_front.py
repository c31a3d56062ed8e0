"""Slow and many visitors: neither stops the shop, and whoever is put off is told until when."""

import asyncio
import gzip
import http.client
import json
import re
import socket
import sqlite3
import time
from collections.abc import Callable, Coroutine, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import AsyncExitStack, ExitStack
from typing import Any

import pytest

from shopfloor import turns
from shopfloor.environment import POSTGRESQL_OPTIONS
from shopfloor.front import PHONES_AT_ONCE, PHONES_IN_LINE, arriving, lines
from shopfloor.front.answers import put_off
from shopfloor.front.arriving import Arriving, HungUp, TooLate, TooLong
from shopfloor.front.inside import _one_cookie_line
from shopfloor.front.lines import Full, Line
from shopfloor.front.types import Headers, Receive
from tests.api.entries import note
from tests.faults.shop import Json, furnish, rows
from tests.shop_process import DATABASE, ROOT, ShopProcess

HUNG = 40
MORE = 12
MB = 1024 * 1024


@pytest.fixture
def book(server: ShopProcess) -> Json:
    return furnish(server)


def head_of(server: ShopProcess, path: str, length: str) -> bytes:
    return (
        f"POST {path} HTTP/1.1\r\nHost: localhost:{server.port}\r\nX-Tautbook: 1\r\n"
        f"Content-Type: application/json\r\n{length}\r\n\r\n"
    ).encode()


def test_f37_uploads_that_hang_half_way_stop_nobody(server: ShopProcess, book: Json) -> None:
    head = head_of(server, "/api/v1/enrol/claim", "Content-Length: 1000")
    with ExitStack() as stack:
        for _ in range(HUNG):
            link = stack.enter_context(socket.create_connection(("127.0.0.1", server.port)))
            link.sendall(head + b'{"token": "')
        status, _, receipts = push(server, book["cookies"][0], [note()])
        assert status == 200
        assert receipts["receipts"][0]["status"] == "stored"


def test_a_body_without_a_length_is_read_up_to_the_limit(server: ShopProcess) -> None:
    head = head_of(server, "/api/v1/enrol/claim", "Transfer-Encoding: chunked")
    chunk = b"10000\r\n" + b" " * 0x10000 + b"\r\n"
    assert ask(server, head + b"2\r\n{}\r\n0\r\n\r\n").startswith("HTTP/1.1 422")
    assert ask(server, head + chunk * 5).startswith("HTTP/1.1 411")


def ask(server: ShopProcess, request: bytes) -> str:
    with socket.create_connection(("127.0.0.1", server.port), timeout=30) as link:
        link.sendall(request)
        return link.recv(4096).decode("latin-1")


def push(
    server: ShopProcess, cookie: str, entries: list[Json], patience_s: float = 120
) -> tuple[int, str | None, Json]:
    """Status, Retry-After and body of the answer."""
    link = http.client.HTTPConnection("localhost", server.port, timeout=patience_s)
    headers = {
        "Content-Type": "application/json",
        "Content-Encoding": "gzip",
        "X-Tautbook": "1",
        "Cookie": f"tautbook_device={cookie}",
    }
    body = gzip.compress(json.dumps({"protocol": 1, "entries": entries}).encode())
    link.request("POST", "/api/v1/sync/push", body, headers)
    answer = link.getresponse()
    found = answer.status, answer.headers["Retry-After"], json.loads(answer.read())
    link.close()
    return found


@pytest.fixture
def held(server: ShopProcess, book: Json) -> Iterator[sqlite3.Connection]:
    """Somebody holds the database for writing, until told to let go."""
    other = sqlite3.connect(server.data / DATABASE, isolation_level=None, check_same_thread=False)
    other.execute("BEGIN IMMEDIATE")
    yield other
    other.close()


def test_f30_a_full_line_is_put_off_and_nothing_is_lost(
    server: ShopProcess, book: Json, held: sqlite3.Connection
) -> None:
    places = PHONES_AT_ONCE + PHONES_IN_LINE
    entries = [note() for _ in range(places + MORE)]
    with ThreadPoolExecutor(len(entries)) as pool:
        cookies = book["cookies"] * (1 + len(entries) // len(book["cookies"]))
        asked = [
            pool.submit(push, server, cookie, [one])
            for cookie, one in zip(cookies, entries, strict=False)
        ]
        wait_for(lambda: sum(one.done() for one in asked) >= MORE)
        page = http.client.HTTPConnection("localhost", server.port, timeout=30)
        page.request("GET", "/office/sign-in/")
        assert page.getresponse().status == 200, "phones in line keep the office out"
        held.execute("ROLLBACK")
        answers = [one.result() for one in asked]
    put_off = [answer for answer in answers if answer[0] != 200]
    assert len(put_off) >= MORE
    for status, wait, body in put_off:
        assert status == 503
        assert 1 <= int(wait or 0) <= 60
        assert list(body) == ["type", "title", "status", "detail", "errors"]
        assert body["type"] in {"/problems/busy", "/problems/locked"}
    assert sum(body["type"] == "/problems/busy" for _, _, body in put_off) >= MORE
    # Those put off come again, as phones do.
    again = [one for one, answer in zip(entries, answers, strict=True) if answer[0] != 200]
    for one in again:
        assert push(server, book["cookies"][0], [one])[0] == 200
    stored = rows(server.data, "select id from frames_entry")
    assert {id for (id,) in stored} == {one["id"].replace("-", "") for one in entries}
    assert len(stored) == len(entries)


def a_phones_patience_s() -> float:
    """As the app has it."""
    source = (ROOT / "static/src/phone/sync/call.js").read_text(encoding="utf-8")
    (found,) = re.findall(r"PATIENCE_MS = ([\d_]+);", source)
    return int(found) / 1000


def test_f30_a_book_that_stays_locked_is_told_before_a_phone_gives_up(
    server: ShopProcess, book: Json, held: sqlite3.Connection
) -> None:
    """Also to those that had to wait for the door before they waited for the book."""
    entries = [note() for _ in range(PHONES_AT_ONCE + 2)]
    pairs = list(zip(book["cookies"], entries, strict=False))
    patience = a_phones_patience_s()
    with ThreadPoolExecutor(len(pairs)) as pool:
        asked = [pool.submit(push, server, cookie, [one], patience) for cookie, one in pairs]
        answers = [one.result() for one in asked]
    assert [status for status, _, _ in answers] == [503] * len(pairs)
    assert all(int(wait or 0) > 0 for _, wait, _ in answers)
    words = [body["type"] for _, _, body in answers]
    assert words.count("/problems/locked") >= PHONES_AT_ONCE
    held.execute("ROLLBACK")
    for cookie, one in pairs:
        status, _, body = push(server, cookie, [one])
        assert (status, body["receipts"][0]["status"]) == (200, "stored")


def test_all_that_a_push_may_wait_for_fits_into_a_phones_patience() -> None:
    """The door, and then the book."""
    assert a_phones_patience_s() > lines.PATIENCE_S + turns.PATIENCE_S
    (lock,) = re.findall(r"lock_timeout=(\d+)s", POSTGRESQL_OPTIONS["options"])
    assert lines.PATIENCE_S + int(lock) < a_phones_patience_s()


def wait_for(done: Callable[[], bool]) -> None:
    while not done():
        time.sleep(0.02)


# The parts, each alone.


def test_a_line_lets_in_a_few_and_turns_the_rest_away() -> None:
    async def run() -> list[str]:
        line, told, go = Line("t", 2, 3), [], asyncio.Event()

        async def visit(n: int) -> None:
            try:
                async with line.turn():
                    told.append(f"in {n}")
                    await go.wait()
            except Full:
                told.append(f"full {n}")

        visits = [asyncio.create_task(visit(n)) for n in range(7)]
        await asyncio.sleep(0)
        await asyncio.sleep(0)
        before = list(told)
        go.set()
        await asyncio.gather(*visits)
        assert line.standing == 0
        return [*before, "|", *told[len(before) :]]

    told = run_alone(run())
    assert told == ["in 0", "in 1", "full 5", "full 6", "|", "in 2", "in 3", "in 4"]


def test_whoever_waits_too_long_is_told_so_and_leaves_room() -> None:
    async def run() -> int:
        line = Line("t", 1, 5, patience_s=0)
        async with line.turn():
            with pytest.raises(Full):
                async with line.turn():
                    pass
        async with line.turn():
            return line.standing

    assert run_alone(run()) == 1


def run_alone(made: Coroutine[Any, Any, Any]) -> Any:
    """In a thread of its own: in this one a browser's loop may be running for other tests."""
    with ThreadPoolExecutor(1) as pool:
        return pool.submit(asyncio.run, made).result()


def scope(length: int | None, path: str = "/office/") -> Json:
    known = [(b"content-length", str(length).encode())] if length is not None else []
    return {"path": path, "headers": known or [(b"transfer-encoding", b"chunked")]}


def events(*parts: bytes, end: bool = True) -> Receive:
    told = [{"type": "http.request", "body": part, "more_body": True} for part in parts]
    told += [{"type": "http.request"}] if end else [{"type": "http.disconnect"}]

    async def receive() -> Json:
        return told.pop(0)

    return receive


async def arrive(at: Arriving, about: Json, receive: Receive) -> bytes:
    async with at.body(about, receive) as body:
        assert at.held
        return body


def test_a_body_comes_in_parts_and_its_room_is_given_back() -> None:
    at = Arriving()
    assert run_alone(arrive(at, scope(4), events(b"ab", b"cd"))) == b"abcd"
    with pytest.raises(HungUp):
        run_alone(arrive(at, scope(4), events(b"ab", end=False)))
    too_much = events(b" " * 300_000)
    with pytest.raises(TooLong):
        run_alone(arrive(at, scope(None, "/api/v1/sync/push"), too_much))
    assert at.held == 0


def test_a_body_that_never_ends_is_given_up(monkeypatch: pytest.MonkeyPatch) -> None:
    async def never() -> Json:
        await asyncio.Event().wait()
        return {}

    monkeypatch.setattr(arriving, "WITHIN_S", 0)
    with pytest.raises(TooLate):
        run_alone(arrive(Arriving(), scope(4), never))


def test_all_bodies_together_have_a_limit() -> None:
    async def run() -> None:
        at = Arriving()
        async with AsyncExitStack() as stack:
            for _ in range(4):
                await stack.enter_async_context(at.body(scope(16 * MB), events(b"a")))
            with pytest.raises(Full):
                await arrive(at, scope(1), events(b"a"))
        assert await arrive(at, scope(1), events(b"a")) == b"a"

    run_alone(run())


@pytest.mark.parametrize(
    ("headers", "said"),
    [
        ([], "Too many are at it just now"),
        ([(b"accept-language", b"de-AT,de;q=0.9,en;q=0.8")], "Gerade sind zu viele dabei"),
        ([(b"cookie", b"a=1; tautbook_language=de")], "Gerade sind zu viele dabei"),
        ([(b"cookie", b"tautbook_language=en"), (b"accept-language", b"de")], "Too many are at it"),
        ([(b"accept-language", b"pt")], "Too many are at it just now"),
    ],
)
def test_people_are_put_off_in_their_language(headers: Headers, said: str) -> None:
    page = put_off({"path": "/office/", "headers": headers})
    problem = put_off({"path": "/api/v1/me", "headers": headers})
    assert said in page.body.decode()
    assert said in json.loads(problem.body)["title"] + " just now"
    assert {b"retry-after", b"content-security-policy"} <= dict(page.headers).keys()
    assert dict(problem.headers)[b"content-type"] == b"application/problem+json"


def test_cookies_that_come_one_by_one_are_one_line() -> None:
    """RFC 9113, section 8.2.3, for HTTP/2."""
    apart = [(b"cookie", b"a=1"), (b"host", b"x"), (b"cookie", b"b=2")]
    assert _one_cookie_line({"headers": apart})["headers"] == [
        (b"host", b"x"),
        (b"cookie", b"a=1; b=2"),
    ]
