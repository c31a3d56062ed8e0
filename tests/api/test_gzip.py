"""Packed request bodies: gzip as in RFC 1952, never unpacked beyond what a phone may send."""

import gzip
import json
import zlib
from typing import Any
from uuid import uuid4

import pytest

from frames.models import Entry
from shopfloor.api.bodies import LARGEST
from tests.api.cast import Phone
from tests.api.entries import note
from tests.api.error_shape import assert_problem

pytestmark = pytest.mark.django_db
GZIP = {"Content-Encoding": "gzip"}


def push(phone: Phone, body: bytes, packing: str = "gzip") -> Any:
    return phone.post("sync/push", body, **{"Content-Encoding": packing})


def plain(phone: Phone, *entries: Any) -> bytes:
    return json.dumps(phone.envelope(list(entries))).encode()


def test_a_packed_push_is_as_good_as_a_plain_one(phone: Phone) -> None:
    answer = phone.push_packed(note(), note()).json()
    assert [receipt["status"] for receipt in answer["receipts"]] == ["stored", "stored"]


@pytest.mark.parametrize("kept", [0.1, 0.5, 0.9, 0.99])
def test_a_body_cut_off_on_the_way_stores_nothing(phone: Phone, kept: float) -> None:
    packed = gzip.compress(plain(phone, *(note() for _ in range(20))))
    body = assert_problem(push(phone, packed[: int(len(packed) * kept)]), 400, "unreadable")
    assert body["detail"] == "The body was cut off on the way. Send it again."
    assert not Entry.objects.exists()


@pytest.mark.parametrize("liar", [b"PK\x03\x04 a zip file", b"{}", zlib.compress(b"{}")])
def test_what_is_no_gzip_is_told_so(phone: Phone, liar: bytes) -> None:
    body = assert_problem(push(phone, liar), 400, "unreadable")
    assert body["detail"] == "The body says it is gzip and is not. Send it again."


def test_a_damaged_body_fails_its_checksum(phone: Phone) -> None:
    packed = bytearray(gzip.compress(plain(phone, note())))
    packed[-6] ^= 0xFF
    assert_problem(push(phone, bytes(packed)), 400, "unreadable")
    assert not Entry.objects.exists()


def test_a_bomb_is_refused_before_it_goes_off(phone: Phone) -> None:
    bomb = gzip.compress(b" " * (200 * 1024 * 1024), 9)
    assert len(bomb) < LARGEST
    body = assert_problem(push(phone, bomb), 413, "too-large")
    assert body["detail"] == "A request may hold 256 KB. Send fewer entries at once."


def test_a_bomb_inside_a_bomb_is_no_json(phone: Phone) -> None:
    nested = gzip.compress(gzip.compress(b" " * 1_000_000))
    assert_problem(push(phone, nested), 400, "unreadable")


def test_a_second_stream_behind_the_first_is_refused(phone: Phone) -> None:
    twice = gzip.compress(plain(phone, note())) + gzip.compress(plain(phone, note()))
    body = assert_problem(push(phone, twice), 400, "unreadable")
    assert body["detail"] == "Something follows the gzip body. Send one gzip stream alone."


@pytest.mark.parametrize("over", [0, 1])
def test_the_limit_holds_to_the_byte(phone: Phone, over: int) -> None:
    body = plain(phone)
    padded = body + b" " * (LARGEST - len(body) + over)
    status = 413 if over else 200
    assert push(phone, gzip.compress(padded)).status_code == status
    assert push(phone, padded, "identity").status_code == status


@pytest.mark.parametrize("packing", ["br", "deflate", "gzip, gzip", "zstd"])
def test_another_packing_is_refused(phone: Phone, packing: str) -> None:
    body = assert_problem(push(phone, plain(phone, note()), packing), 400, "unreadable")
    assert body["detail"] == f"Content-Encoding is {packing!r}. Send gzip or plain JSON."


def test_answers_are_packed_where_the_browser_takes_it(phone: Phone) -> None:
    frame = str(uuid4())
    phone.push(*(note(frame=frame) for _ in range(20)))
    response = phone.client.get("/api/v1/sync/snapshot", headers={"Accept-Encoding": "gzip"})
    assert response["Content-Encoding"] == "gzip"
    assert json.loads(gzip.decompress(response.content))["items"]
