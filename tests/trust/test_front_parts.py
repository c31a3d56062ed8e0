"""What stands before Django, part by part: lines, rooms for bodies, and what they say."""

import asyncio
import json
from collections.abc import Coroutine
from concurrent.futures import ThreadPoolExecutor
from contextlib import AsyncExitStack
from typing import Any

import pytest

from shopfloor import caps
from shopfloor.front import (
    Front,
    arriving,
    visitors,
)
from shopfloor.front.answers import put_off
from shopfloor.front.arriving import (
    MOST_OF_FILES,
    MOST_OF_FORMS,
    MOST_OF_PHONES,
    Arriving,
    HungUp,
    TooLate,
    TooLong,
)
from shopfloor.front.inside import _one_cookie_line
from shopfloor.front.lines import Full, Line
from shopfloor.front.types import Headers, Receive
from tests.faults.shop import Json

MB = 1024 * 1024


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
        assert not line.standing
        return [*before, "|", *told[len(before) :]]

    told = run_alone(run())
    assert told == ["in 0", "in 1", "full 5", "full 6", "|", "in 2", "in 3", "in 4"]


def test_one_address_leaves_the_others_a_turn() -> None:
    async def run() -> None:
        line = Line("t", 1, 9, of_one_address=2)
        async with line.turn("a"):
            waits = asyncio.create_task(has_a_turn(line, "a"))
            await asyncio.sleep(0)
            with pytest.raises(Full):
                await has_a_turn(line, "a")
            other = asyncio.create_task(has_a_turn(line, "b"))
            await asyncio.sleep(0)
            assert line.standing == {"a": 2, "b": 1}
        await asyncio.gather(waits, other)
        assert not line.standing
        await has_a_turn(line, "a")

    run_alone(run())


async def has_a_turn(line: Line, whose: str) -> None:
    async with line.turn(whose):
        pass


def test_whoever_waits_too_long_is_told_so_and_leaves_room() -> None:
    async def run() -> int:
        line = Line("t", 1, 5, patience_s=0)
        async with line.turn():
            with pytest.raises(Full):
                async with line.turn():
                    pass
        async with line.turn():
            return line.standing.total()

    assert run_alone(run()) == 1


def run_alone(made: Coroutine[Any, Any, Any]) -> Any:
    """In a thread of its own: in this one a browser's loop may be running for other tests."""
    with ThreadPoolExecutor(1) as pool:
        return pool.submit(asyncio.run, made).result()


SIGNED_IN = (b"cookie", b"tautbook_session=somebodys")


def scope(length: int | None, path: str = "/office/", whose: str = "10.0.0.1") -> Json:
    known = (b"content-length", str(length).encode())
    length_told = known if length is not None else (b"transfer-encoding", b"chunked")
    return {"path": path, "headers": [length_told, SIGNED_IN], "client": (whose, 50_000)}


def events(*parts: bytes, end: bool = True) -> Receive:
    told = [{"type": "http.request", "body": part, "more_body": True} for part in parts]
    told += [{"type": "http.request"}] if end else [{"type": "http.disconnect"}]

    async def receive() -> Json:
        return told.pop(0)

    return receive


async def arrive(at: Arriving, about: Json, receive: Receive) -> bytes:
    async with at.body(about, receive) as body:
        assert held_by(at) == len(body)
        return body


def held_by(at: Arriving) -> int:
    return at.phones.held + at.forms.held + at.files.held


def test_a_body_comes_in_parts_and_its_room_is_given_back() -> None:
    at = Arriving()
    assert run_alone(arrive(at, scope(4), events(b"ab", b"cd"))) == b"abcd"
    with pytest.raises(HungUp):
        run_alone(arrive(at, scope(4), events(b"ab", end=False)))
    too_much = events(b" " * 300_000)
    with pytest.raises(TooLong):
        run_alone(arrive(at, scope(None, "/api/v1/sync/push"), too_much))
    assert held_by(at) == 0


def test_a_body_that_never_ends_is_given_up(monkeypatch: pytest.MonkeyPatch) -> None:
    async def never() -> Json:
        await asyncio.Event().wait()
        return {}

    monkeypatch.setattr(arriving, "WITHIN_S", 0)
    with pytest.raises(TooLate):
        run_alone(arrive(Arriving(), scope(4), never))


OUTBOX, PUSH = "/office/phones/outbox/", "/api/v1/sync/push"
FILE, PART = 16 * MB, 200 * 1024


def test_all_bodies_together_have_a_limit() -> None:
    """Whole files fill the room of files, and only that."""

    async def run() -> None:
        at = Arriving()
        async with AsyncExitStack() as stack:
            for _ in range(MOST_OF_FILES // FILE):
                file = at.body(scope(FILE, OUTBOX), events(b" " * FILE))
                await stack.enter_async_context(file)
            with pytest.raises(Full):
                await arrive(at, scope(1, OUTBOX), events(b"a"))
            for path in ("/office/", PUSH):
                async with at.body(scope(1, path), events(b"a")) as body:
                    assert body == b"a"
        assert await arrive(at, scope(1, OUTBOX), events(b"a")) == b"a"

    run_alone(run())


def hanging(part: bytes) -> Receive:
    """Sends a part and never the rest."""
    told = [{"type": "http.request", "body": part, "more_body": True}]

    async def receive() -> Json:
        return told.pop() if told else await asyncio.Event().wait()

    return receive


@pytest.mark.parametrize("path", [PUSH, "/office/"])
@pytest.mark.parametrize("whose", ["10.0.0.1", "10.0.0.2"], ids=["same address", "another"])
def test_where_it_is_full_those_that_hang_half_way_make_room(path: str, whose: str) -> None:
    """The newcomer gets in, from whichever address; the one hanging longest goes, told to come
    again; and a small one of somebody else that came before it stays."""

    async def run() -> None:
        at = Arriving()
        room = at.phones if path == PUSH else at.forms
        small = asyncio.create_task(arrive(at, scope(4, path, "10.0.0.3"), hanging(b"abc")))
        hung = [
            asyncio.create_task(arrive(at, scope(PART + 1, path), hanging(b" " * PART)))
            for _ in range(room.most // PART)
        ]
        await asyncio.sleep(0)
        assert room.most - PART < room.held <= room.most
        async with at.body(scope(PART, path, whose), events(b"b" * PART)) as body:
            assert len(body) == PART
            assert room.held <= room.most
        await asyncio.wait(hung, return_when=asyncio.FIRST_COMPLETED)
        assert [one.done() for one in hung] == [True] + [False] * (len(hung) - 1)
        assert isinstance(hung[0].exception(), Full)
        assert not small.done()
        for one in (small, *hung):
            one.cancel()
        await asyncio.gather(small, *hung, return_exceptions=True)
        assert (room.held, room.guests) == (0, [])

    run_alone(run())


def test_all_that_may_stand_in_line_leaves_room_for_one_more() -> None:
    """Or those in line, who came whole and stay, could keep a push from being read."""
    front = Front()
    of_forms = (front.pages, front.sign_ins, front.watchers)
    assert places(front.phones) * caps.LARGEST_PUSH + caps.LARGEST_PUSH < MOST_OF_PHONES
    assert sum(map(places, of_forms)) * caps.LARGEST_FORM + caps.LARGEST_FORM < MOST_OF_FORMS


def places(line: Line) -> int:
    return line.at_once + line.longest


@pytest.mark.parametrize(
    ("behind", "headers", "whose"),
    [
        (False, [], "10.0.0.1"),
        (False, [(b"x-forwarded-for", b"192.0.2.7")], "10.0.0.1"),
        (True, [(b"x-forwarded-for", b"192.0.2.7, 192.0.2.8")], "192.0.2.8"),
        (True, [(b"x-forwarded-for", b"192.0.2.7"), (b"x-forwarded-for", b"::1")], "::1"),
        (True, [(b"x-forwarded-for", b"nonsense")], "10.0.0.1"),
    ],
)
def test_room_is_shared_out_by_the_address_that_a_proxy_heard(
    settings: Any, behind: bool, headers: Headers, whose: str
) -> None:
    settings.BEHIND_PROXY = behind
    assert visitors.address({"client": ("10.0.0.1", 1), "headers": headers}) == whose


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
