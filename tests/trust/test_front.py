"""Slow and many visitors: neither stops the shop, and whoever is put off is told until when."""

import gzip
import http.client
import json
import re
import socket
import sqlite3
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack
from urllib.parse import urlencode

import pytest

from shopfloor import caps, turns
from shopfloor.environment import POSTGRESQL_OPTIONS
from shopfloor.front import (
    PAGES_AT_ONCE,
    PHONES_AT_ONCE,
    PHONES_IN_LINE,
    SIGN_INS_OF_ONE,
    lines,
)
from tests.api.entries import note
from tests.faults.shop import Json, furnish, rows
from tests.shop_process import DATABASE, ROOT, ShopProcess

HUNG = 40
MORE = 12


@pytest.fixture
def book(server: ShopProcess) -> Json:
    return furnish(server)


def head_of(server: ShopProcess, path: str, length: str) -> bytes:
    return (
        f"POST {path} HTTP/1.1\r\nHost: localhost:{server.port}\r\nX-Tautbook: 1\r\n"
        f"Content-Type: application/json\r\n{length}\r\n\r\n"
    ).encode()


def test_f37_uploads_that_hang_half_way_stop_nobody(server: ShopProcess, book: Json) -> None:
    """However much they announce, and whoever they say they are."""
    hung = [
        *[("/api/v1/enrol/claim", 1000)] * HUNG,
        *[("/api/v1/nothing", caps.LARGEST_PUSH)] * 4 * HUNG,
        *[("/nothing", caps.LARGEST), ("/nothing", caps.LARGEST_FORM)] * 4 * HUNG,
        *[("/office/phones/outbox/", caps.LARGEST)] * HUNG,
    ]
    with ExitStack() as stack:
        for path, length in hung:
            about = f"Content-Length: {length}\r\nCookie: tautbook_session=nobodys"
            link = stack.enter_context(socket.create_connection(("127.0.0.1", server.port)))
            link.sendall(head_of(server, path, about) + b"{")
        status, _, receipts = push(server, book["cookies"][0], [note()])
        assert status == 200
        assert receipts["receipts"][0]["status"] == "stored"
        form = head_of(server, "/office/sign-in/", "Content-Length: 10") + b"username=a"
        # Without its token it is refused, by the form itself.
        assert ask(server, form).startswith("HTTP/1.1 403")


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


def test_guesses_at_passwords_have_a_line_of_their_own(
    server: ShopProcess, book: Json, held: sqlite3.Connection
) -> None:
    """None of them gets on while the book is locked, and nobody else waits for that."""
    page, cookie = sign_in_page(server)
    (token,) = re.findall(r'csrfmiddlewaretoken" value="(\w+)"', page)
    names = [f"guess-{n}" for n in range(SIGN_INS_OF_ONE + MORE)]
    with ThreadPoolExecutor(len(names)) as pool:
        asked = [pool.submit(sign_in, server, cookie, token, name) for name in names]
        wait_for(lambda: sum(one.done() for one in asked) >= MORE)
        put_off = [one.result() for one in asked if one.done()]
        for _ in range(2 * PAGES_AT_ONCE):
            assert "csrfmiddlewaretoken" in sign_in_page(server)[0]
        held.execute("ROLLBACK")
        answers = [one.result() for one in asked]
    for status, wait, told in put_off:
        assert (status, 1 <= int(wait or 0) <= 60) == (503, True)
        assert f"Try again in {wait} seconds" in told
    assert sum(status == 200 for status, _, _ in answers) == SIGN_INS_OF_ONE
    assert sign_in(server, cookie, token, "guess-1")[0] == 200


def sign_in_page(server: ShopProcess) -> tuple[str, str]:
    link = http.client.HTTPConnection("localhost", server.port, timeout=30)
    link.request("GET", "/office/sign-in/")
    answer = link.getresponse()
    text = answer.read().decode()
    assert answer.status == 200, text
    return text, answer.headers["Set-Cookie"].partition(";")[0]


def sign_in(server: ShopProcess, cookie: str, token: str, name: str) -> tuple[int, str | None, str]:
    link = http.client.HTTPConnection("localhost", server.port, timeout=60)
    body = urlencode({"csrfmiddlewaretoken": token, "username": name, "password": "x"})
    headers = {"Cookie": cookie, "Content-Type": "application/x-www-form-urlencoded"}
    link.request("POST", "/office/sign-in/", body, headers)
    answer = link.getresponse()
    return answer.status, answer.headers["Retry-After"], answer.read().decode()


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
