"""Proves derived rows: each is what its inputs give, and nothing stands for a screen that ended."""

from collections.abc import Iterator

from django.db import DatabaseError
from django.utils import translation

from frames.derived import sources, undone
from frames.derived.registry import DERIVATIONS, Derivation, fingerprint
from frames.derived.sources import Screen
from frames.models import Derived, ScreenState, Shop

DIGITS = 6


def findings() -> Iterator[tuple[str, str]]:
    """(about, what is wrong) for every row that a new derivation contradicts."""
    with translation.override(Shop.speaks()):
        found = list(_findings())
    yield from found


def _findings() -> Iterator[tuple[str, str]]:
    frames = set(ScreenState.objects.values_list("frame", flat=True).distinct())
    known: set[str] = set()
    for screen in sources.screens_of(frames):
        known.add(screen.id)
        yield from _of(screen)
    for row in Derived.objects.exclude(screen__in=ScreenState.objects.values("screen")):
        yield f"{row.kind} of screen {row.screen}", "stands, but the log knows no such screen"


def _of(screen: Screen) -> Iterator[tuple[str, str]]:
    """A row whose inputs moved on is only late: the worker will come to it."""
    for derivation in DERIVATIONS:
        row = Derived.objects.filter(pk=Derived.key_of(derivation.kind, screen.id)).first()
        if row is None:
            continue
        about = f"{row.kind} of screen {row.screen}"
        try:
            said = _wrong(derivation, screen, row)
        except DatabaseError:
            raise
        except Exception as fault:
            undone.tell(derivation.kind, screen.id, fault)
            said = "stands, but cannot be derived"
        if said:
            yield about, said


def _wrong(derivation: Derivation, screen: Screen, row: Derived) -> str:
    inputs = derivation.inputs(screen, row.body)
    if inputs is None:
        return "stands, but the screen has ended"
    if fingerprint(inputs) != row.digest:
        return ""
    again = derivation.body(screen, inputs) | {"seq": row.seq}
    return "" if alike(again, row.body) else "is not what its inputs give"


def alike(a: object, b: object) -> bool:
    """The same but for the last bits of numbers, which differ between machines."""
    if isinstance(a, dict) and isinstance(b, dict):
        return a.keys() == b.keys() and all(alike(a[key], b[key]) for key in a)
    if isinstance(a, list) and isinstance(b, list):
        return len(a) == len(b) and all(alike(x, y) for x, y in zip(a, b, strict=True))
    if isinstance(a, float) or isinstance(b, float):
        return isinstance(a, int | float) and isinstance(b, int | float) and abs(a - b) <= 1e-3
    if isinstance(a, int) and isinstance(b, int):
        return abs(a - b) <= 1
    return a == b
