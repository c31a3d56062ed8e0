"""What a printer or a programmer reads when a request cannot be taken: exact sentences."""

import json
from dataclasses import dataclass
from typing import Any

import pytest

from frames import feed
from frames.models import Entry
from tests.api.cast import Phone
from tests.api.entries import note
from tests.api.error_shape import assert_problem

pytestmark = pytest.mark.django_db
INSTALL = "0193a6c0-0000-7000-8000-00000000bad0"
ID = "Send an id as the server or the phone made it."


@dataclass(frozen=True)
class Bad:
    """A request, and the problem that answers it."""

    path: str
    body: Any
    status: int
    word: str
    detail: str = ""
    field: str = ""
    value: Any = None
    remedy: str = ""


def unreadable(body: bytes, detail: str) -> Bad:
    return Bad("sync/push", body, 400, "unreadable", detail)


def invalid(path: str, body: Any, field: str, value: Any, remedy: str) -> Bad:
    detail = "One field of the request cannot be used; nothing was stored."
    return Bad(path, body, 422, "invalid", detail, field, value, remedy)


BAD = [
    unreadable(b"entries=1", "The body is not JSON from line 1, column 1 on."),
    unreadable(b'{"entries": [', "The body is not JSON from line 1, column 14 on."),
    unreadable(b"\xff\xfe{}", "The body is not UTF-8. Send JSON in UTF-8."),
    unreadable(b'{"entries": "\xe9"}', "The body is not UTF-8. Send JSON in UTF-8."),
    unreadable(b'{"entries": [NaN]}', "The body holds NaN, which is no number in JSON."),
    unreadable(
        b'{"entries": [-Infinity]}', "The body holds -Infinity, which is no number in JSON."
    ),
    unreadable(b"[1, 2]", "The body is no JSON object. Send named fields."),
    unreadable(b"null", "The body is no JSON object. Send named fields."),
    unreadable(b"[" * 100_000, "The body is nested too deep to be read."),
    unreadable(
        b'{"entries": [' + b"9" * 5000 + b"]}", "The body holds a number too long to be read."
    ),
    invalid("sync/push", {"entries": int("9" * 400)}, "entries", f"{'9' * 79}…", "Send a list."),
    invalid("sync/push", {"entries": 10**18}, "entries", 10**18, "Send a list."),
    invalid("sync/push", {}, "entries", None, "This is missing: send it."),
    invalid("sync/push", {"entries": "none"}, "entries", "none", "Send a list."),
    invalid("sync/push", {"entries": {"a": 1}}, "entries", "{'a': 1}", "Send a list."),
    invalid("enrol/claim", {"code": "ABCD2345"}, "install_id", None, "This is missing: send it."),
    invalid("enrol/claim", {"code": "A", "install_id": "mine"}, "install_id", "mine", ID),
    invalid(
        "enrol/claim",
        {"code": 12345678, "install_id": INSTALL},
        "code",
        12345678,
        "Send text.",
    ),
    invalid(
        "enrol/claim",
        {"code": "A", "install_id": INSTALL, "about": {"platform": "x" * 301}},
        "about.platform",
        "x" * 79 + "…",
        "Send at most 300 characters.",
    ),
    invalid("enrol/poll", {}, "claim", None, "This is missing: send it."),
    invalid("enrol/poll", {"claim": ""}, "claim", "", "Fill this in."),
    invalid("sync/changes?epoch=old&after=0", None, "epoch", "old", ID),
    invalid(f"sync/changes?epoch={INSTALL}", None, "after", None, "This is missing: send it."),
    invalid(
        f"sync/changes?epoch={INSTALL}&after=-1",
        None,
        "after",
        "-1",
        "Send a number of at least 0.",
    ),
    invalid(f"sync/changes?epoch={INSTALL}&after=x", None, "after", "x", "Send a whole number."),
    invalid(
        f"sync/changes?epoch={INSTALL}&after=0&limit=5000",
        None,
        "limit",
        "5000",
        "Send a number of at most 1000.",
    ),
    invalid(f"frames/{INSTALL}/entries?before=yesterday", None, "before", "yesterday", ID),
    Bad(
        "frames/the-big-one/entries",
        None,
        404,
        "not-found",
        "Look at the documentation of the API.",
    ),
]


@pytest.mark.parametrize(
    "bad", BAD, ids=lambda bad: f"{bad.path[:24]} {bad.field} {bad.detail[:30]}"
)
def test_it_says_what_is_wrong_and_what_to_do(phone: Phone, bad: Bad) -> None:
    response = phone.get(bad.path) if bad.body is None else phone.post(bad.path, bad.body)
    body = assert_problem(response, bad.status, bad.word)
    if bad.detail:
        assert body["detail"] == bad.detail
    if bad.field:
        fault = {"field": bad.field, "value": bad.value, "remedy": bad.remedy}
        assert body["errors"] == [fault]
    assert not Entry.objects.exists()
    assert feed.head().seq == 0


def test_two_fields_at_fault_are_both_named(phone: Phone) -> None:
    body = assert_problem(phone.get("sync/changes", epoch="x", after="y"), 422, "invalid")
    assert body["detail"] == "Several fields of the request cannot be used; nothing was stored."
    assert [fault["field"] for fault in body["errors"]] == ["epoch", "after"]


@pytest.mark.parametrize(
    ("broken", "field"),
    [
        ({"occurred_at": "25.11.2026"}, "occurred_at"),
        ({"id": "417"}, "id"),
        ({"device_seq": 0}, "device_seq"),
        ({"payload": None}, "payload"),
        ({"payload": {"note": "\ud800"}}, "payload.note"),
        ({"payload": {"note": "\x00"}}, "payload.note"),
        ({"payload": {"note": "x" * 20_000}}, "payload.note"),
        ({"scanned": "x" * 501}, "scanned"),
    ],
)
def test_a_bad_entry_is_named_in_its_receipt(phone: Phone, broken: dict, field: str) -> None:
    good, bad = note(), note() | broken
    text = json.dumps(phone.envelope([good, bad])).encode()
    stored, refused = phone.post("sync/push", text).json()["receipts"]
    assert stored["status"] == "stored"
    assert refused["status"] == "refused"
    assert refused["problem"]["field"] == field
    assert refused["problem"]["remedy"].endswith(".")
