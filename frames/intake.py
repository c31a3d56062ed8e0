"""Reads what was sent, one entry at a time, before any transaction is open."""

import hashlib
import json
from collections.abc import Collection, Iterator
from dataclasses import dataclass
from datetime import datetime
from itertools import chain
from typing import Any
from uuid import UUID

import rfc8785

from frames.entries import ACTS, Entry, Raw, corrected_ms, is_act, is_known, parse
from frames.errors import Problem, Unreadable
from frames.models import Entry as Row
from frames.times import milliseconds, moment
from frames.wording import say

LARGEST = 16 * 1024
# Far more than any form has. What goes deeper than some hundred levels, no reader of JSON follows.
DEEPEST = 64
# PostgreSQL hands a float beyond it back as a whole number, which RFC 8785 has no form for.
FARTHEST = 2**53 - 1


@dataclass(frozen=True)
class Reading:
    """One entry as sent: readable, with its digest, or with what is wrong with it."""

    place: int
    sent: Any
    entry: Entry | None
    digest: str
    problems: list[Problem]

    @property
    def id(self) -> str | None:
        """The id it goes by, if it has a usable one."""
        if self.entry:
            return self.entry.raw["id"]
        claimed = self.sent.get("id") if isinstance(self.sent, dict) else None
        return claimed if isinstance(claimed, str) and len(claimed) <= 64 else None


def read(place: int, sent: Any) -> Reading:
    try:
        check_depth(sent)
        entry = parse(sent)
        return Reading(place, sent, entry, digest(entry.raw), [])
    except Unreadable as error:
        return Reading(place, sent, None, "", error.problems)


def check_depth(sent: Any) -> None:
    """Unreadable if it is nested too deep to be stored, handed out and shown."""
    depth = sum(1 for level in _levels(sent)) - 1
    if depth > DEEPEST:
        remedy = say(
            "Save it anew: lists within lists, more than {0} deep, cannot be kept.", DEEPEST
        )
        raise Unreadable([Problem("entry", depth, remedy)])


def _levels(sent: Any) -> Iterator[list[Any]]:
    level = [sent]
    while level:
        yield level
        level = [inner for outer in level for inner in _inside(outer)]


def _inside(value: Any) -> Collection[Any]:
    if isinstance(value, dict):
        return value.values()
    return value if isinstance(value, list) else ()


def digest(raw: dict[str, Any]) -> str:
    """SHA-256 over RFC 8785 canonical JSON; Unreadable if it is too long or not to be stored."""
    try:
        canonical = rfc8785.dumps(raw)
    except (rfc8785.CanonicalizationError, RecursionError):
        canonical = None
    if canonical is None or any(map(_is_far, chain.from_iterable(_levels(raw)))):
        remedy = say("Enter it again: it holds a number or a character that cannot be stored.")
        raise Unreadable([Problem("payload", None, remedy)])
    if len(canonical) > LARGEST:
        remedy = say("Split it into several entries: one may have {0} bytes.", LARGEST)
        raise Unreadable([Problem("entry", len(canonical), remedy)])
    if b"\\u0000" in canonical.replace(b"\\\\", b""):
        remedy = say("Enter the text again: it holds a character that cannot be stored.")
        raise Unreadable([Problem("payload", None, remedy)])
    return hashlib.sha256(canonical).hexdigest()


def _is_far(value: Any) -> bool:
    return isinstance(value, float) and abs(value) > FARTHEST


def target_of(raw: Raw) -> str | None:
    """The id of the entry that this one corrects or voids."""
    return raw["payload"][ACTS[raw["kind"]]] if is_act(raw) and is_known(raw) else None


def row(reading: Reading, seq: int, device: str, received_at: datetime) -> Row:
    """The row of a readable entry."""
    raw = reading.entry.raw
    return Row(
        seq=seq,
        device=device,
        received_at=received_at,
        raw=raw,
        digest=reading.digest,
        **filed(raw),
    )


def filed(raw: Raw) -> dict[str, Any]:
    """The columns by which an entry is found, all told by the entry itself."""
    moved_to = raw["payload"]["frame"] if target_of(raw) and raw["kind"] == "correction" else None
    return {
        "id": UUID(raw["id"]),
        "install_id": UUID(raw["install_id"]),
        "device_seq": raw["device_seq"],
        "kind": raw["kind"],
        "v": raw["v"],
        "frame_id": _uuid(raw["frame"]),
        "screen_id": _uuid(raw["screen"]),
        "subject_id": _uuid(raw["subject"] and raw["subject"]["id"]),
        "job_id": job_of(raw),
        "target_id": _uuid(target_of(raw)),
        "moved_to_id": _uuid(moved_to),
        "occurred_at": moment(milliseconds(raw["occurred_at"])),
        "corrected_at": moment(corrected_ms(raw)),
    }


def job_of(raw: Raw) -> UUID | None:
    """The job that an entry names: as its subject, in its payload, or by correcting it in."""
    subject, payload = raw["subject"] or {}, raw["payload"]
    inner = payload.get("payload") if raw["kind"] == "correction" else payload
    named = subject.get("id") if subject.get("kind") == "job" else None
    if named is None and isinstance(inner, dict):
        named = inner.get("job")
    try:
        return UUID(named) if isinstance(named, str) else None
    except ValueError:  # kinds of newer apps may call anything a job
        return None


def _uuid(text: str | None) -> UUID | None:
    return UUID(text) if text else None


def as_text(sent: Any) -> str:
    """What was sent, as text that any database keeps: JSON with sorted keys, however deep."""
    text, to_do = [], [sent]
    while to_do:
        match to_do.pop():
            case _Sign() as sign:
                text.append(sign)
            case dict() as told:
                inner = [[_Sign(f"{json.dumps(key)}: "), told[key]] for key in sorted(told)]
                to_do += reversed([_Sign("{"), *_with_commas(inner), _Sign("}")])
            case list() as told:
                to_do += reversed([_Sign("["), *_with_commas([[x] for x in told]), _Sign("]")])
            case leaf:
                text.append(json.dumps(leaf, default=ascii))
    return "".join(text)


class _Sign(str):
    """What stands between values, and is no value itself."""

    __slots__ = ()


def _with_commas(parts: list[list[Any]]) -> list[Any]:
    return [x for part in parts for x in (_Sign(", "), *part)][1:]
