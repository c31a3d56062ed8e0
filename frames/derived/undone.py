"""What could not be worked out: a row of its own says so, the rest goes on, and pages say why.

Entries are stored as they came, and some cannot all be true. A screen whose entries the mechanics
refuses keeps neither an old answer, which would be wrong, nor a new one.
"""

import logging
from collections.abc import Iterable
from uuid import UUID

from numpy.linalg import LinAlgError

from frames.derived.sources import Json
from frames.errors import BadInput
from frames.mechanics import InputFault
from frames.mechanics.faults import CONTRADICT
from frames.models import Derived
from frames.wording import mark, say

KIND = "undone"
UNFORESEEN = mark("This was not foreseen: have the server's log looked at.")
SENTENCES = {
    "lessons": mark("What its turns taught cannot be worked out. {0}"),
    "estimate": mark("Its tension over the whole mesh cannot be worked out. {0}"),
    "relaxing": mark("How its tension falls cannot be worked out. {0}"),
}
FORECAST = mark("Its forecast cannot be worked out. {0}")
log = logging.getLogger(__name__)


def key_of(kind: str, screen: UUID | str) -> str:
    return Derived.key_of(f"{KIND} {kind}", screen)


def row(kind: str, screen: str, seq: int, digest: str, fault: Exception) -> Derived:
    """The row that says so; `digest` is of the inputs that were refused, empty without any."""
    return Derived(
        key=key_of(kind, screen),
        kind=KIND,
        screen=screen,
        seq=seq,
        digest=digest,
        body={"kind": kind, "screen": screen, "fault": type(fault).__name__, "why": _why(fault)},
    )


def about(row: Derived) -> str:
    """The kind that a row stands for, or that there can be none of."""
    return row.body["kind"] if row.kind == KIND else row.kind


def _why(fault: Exception) -> str:
    if isinstance(fault, InputFault):
        return str(fault)
    if isinstance(fault, BadInput):
        return " ".join(problem.remedy for problem in fault.problems)
    return say(CONTRADICT if isinstance(fault, LinAlgError | ArithmeticError) else UNFORESEEN)


def tell(kind: str, screen: str, fault: Exception) -> None:
    """One line for whoever looks after the server: which screen, what kind of error, and where."""
    name = type(fault).__name__
    log.warning("%s of screen %s cannot be derived: %s", kind, screen, name, exc_info=fault)


def of_screens(screens: Iterable[UUID]) -> dict[UUID, list[str]]:
    """By screen, what cannot be worked out and why, in sentences."""
    rows = Derived.objects.of_kind(KIND).filter(screen__in=list(screens)).order_by("key")
    found: dict[UUID, list[str]] = {}
    for screen, body in rows.values_list("screen", "body"):
        sentence = _sentence(body)
        told = found.setdefault(screen, [])
        if sentence not in told:
            told.append(sentence)
    return found


def _sentence(body: Json) -> str:
    return say(SENTENCES.get(body["kind"], FORECAST), body["why"])
