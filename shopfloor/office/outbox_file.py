"""Reads the file that a phone saves of its outbox, and puts what is in it into the log."""

import json
from dataclasses import dataclass
from datetime import datetime
from typing import Any, BinaryIO

from frames import log
from frames.errors import BadInput, Problem
from frames.models import THINGS, InstallState
from frames.wording import mark, written
from frames.wording import say as phrase
from shopfloor.office.names import is_uuid

MARK, KNOWN = "tautbook_outbox", 1
MOST_BYTES = 16 * 1024 * 1024
MOST_ENTRIES = 20_000
# as many as one push of a phone may hold, so that no transaction is longer than theirs
AT_ONCE = 100
ASKED_AT_ONCE = 500
SAVE_AGAIN = mark("Choose the file that the phone made: on the phone, Outbox, Export to file.")


class WrongFile(BadInput):
    """A file that is no outbox; nothing of it was taken."""

    title = mark("That is not an outbox file")

    def __init__(self, value: object, remedy: str) -> None:
        super().__init__([Problem("file", value, remedy)])


@dataclass(frozen=True)
class Brought:
    """One entry of the file, and what the log said to it."""

    raw: Any
    receipt: log.Receipt


def read(file: BinaryIO, name: str, size: int) -> list[Any]:
    """The entries of an outbox file; WrongFile says what to do. Nothing is judged one by one."""
    if size > MOST_BYTES:
        raise WrongFile(
            name, phrase("Split it or ask for help: it has more than {0} MB.", MOST_BYTES >> 20)
        )
    try:
        content = json.loads(file.read(MOST_BYTES + 1).decode("utf-8-sig"))
    except (ValueError, RecursionError):
        raise WrongFile(name, phrase(SAVE_AGAIN)) from None
    mark = content.get(MARK) if isinstance(content, dict) else None
    if type(mark) is not int:
        raise WrongFile(name, phrase(SAVE_AGAIN))
    if mark != KNOWN:
        raise WrongFile(
            name, phrase("A newer app made this file. Update Tautbook here, then bring it in.")
        )
    entries = content.get("entries")
    if not isinstance(entries, list):
        raise WrongFile(name, phrase(SAVE_AGAIN))
    if not entries:
        raise WrongFile(
            name, phrase("Nothing waits in it: everything on that phone had been sent.")
        )
    if len(entries) > MOST_ENTRIES:
        raise WrongFile(
            name, phrase("Ask for help: it has more than {0} entries.", written(MOST_ENTRIES, ","))
        )
    if not _is_of_this_shop(content.get("install_id"), entries):
        raise WrongFile(
            name,
            phrase(
                "It seems to come from another shop: nothing in it is known here. If its phone "
                "is yours, let that phone in again (Phones, Add phone): it sends by itself."
            ),
        )
    return entries


def _is_of_this_shop(install: Any, entries: list[Any]) -> bool:
    """Whether this phone has written here, or anything that its entries name is in the book."""
    if is_uuid(install) and InstallState.objects.filter(pk=install).exists():
        return True
    named = sorted({id for raw in entries if isinstance(raw, dict) for id in _named(raw)})
    pieces = [named[first : first + ASKED_AT_ONCE] for first in range(0, len(named), ASKED_AT_ONCE)]
    return any(
        thing.objects.filter(pk__in=piece).exists() for piece in pieces for thing in THINGS.values()
    )


def _named(raw: dict[str, Any]) -> list[str]:
    """Ids of the frame, the operator, and whatever else an entry is about."""
    subject = raw.get("subject")
    about = subject.get("id") if isinstance(subject, dict) else None
    return [id for id in (raw.get("frame"), raw.get("operator"), about) if is_uuid(id)]


def bring_in(entries: list[Any], *, by: str, received_at: datetime) -> list[Brought]:
    """Every entry through the log's door, each judged alone; twice is harmless."""
    brought: list[Brought] = []
    for first in range(0, len(entries), AT_ONCE):
        batch = entries[first : first + AT_ONCE]
        receipts = log.append(batch, device=f"import:{by}", received_at=received_at)
        brought += [Brought(raw, receipt) for raw, receipt in zip(batch, receipts, strict=True)]
    return brought
