"""The drawing on a paper card: the frame from its squeegee side, side A near the reader.

Every bolt is numbered as it is counted, the punch mark stands at A1, the last readings at
their spots, and turns that are still in for register at their bolts.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from math import ceil

from .paper import CAPS, INK, MIDDLE, SOFT, THIN, Paper
from .plan_view import Labelled
from .stocks import Box

WALL = 4.2  # thickness of the frame's sides as drawn; all in mm
BOLT = 0.75  # radius of a bolt's head
OUT = 2.1  # from the wall to the middle of a bolt's head
BESIDE, ABOVE = 18.0, 14.0  # from the mesh to the edge of the drawing, sideways and up
ROOMY = 34.0  # of the shorter side: letters and readings at full size
SMALLEST, LARGEST = 1.8, 3.0  # numbers of bolts


@dataclass(frozen=True)
class Shown:
    """What the drawing tells beside the frame itself.

    `readings`: (u, v, words) with u along A and v away from A, fractions of the inside.
    `turned`: signed steps by bolt; `stuck`: bolts that do not turn.
    """

    readings: Sequence[tuple[float, float, str]] = ()
    turned: Mapping[str, str] = field(default_factory=dict)
    stuck: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Side:
    """Where a side's bolts lie on the page: from its first corner, and which way is outward.

    `along` and `outward` are of length one, `scale` is mm on the page for a mm of the side.
    """

    start: tuple[float, float]
    along: tuple[int, int]
    outward: tuple[int, int]
    scale: float

    @property
    def upright(self) -> bool:
        return self.along[0] == 0

    def at(self, mm: float, out: float = 0.0) -> tuple[float, float]:
        go = mm * self.scale
        return (
            self.start[0] + self.along[0] * go + self.outward[0] * out,
            self.start[1] + self.along[1] * go + self.outward[1] * out,
        )


def card_view(paper: Paper, box: Box, frame: Labelled, shown: Shown) -> None:
    """Draw the frame into the box, in its own proportions."""
    inner = _inside(box, frame)
    outer = inner.inset(-WALL)
    paper.outline(outer, MIDDLE)
    paper.outline(inner, THIN)
    _mesh(paper, inner)
    sides = _sides(inner, frame)
    for name, side in sides.items():
        _bolts(paper, name, side, frame.bolts[name], shown)
    scale = min(1.0, min(inner.w, inner.h) / ROOMY)
    _letters(paper, inner, scale)
    paper.disc(*sides["A"].at(frame.bolts["A"][0], WALL / 2), radius=1.5)
    for u, v, words in shown.readings:
        _reading(paper, inner, (u, v), words, 4.4 * scale)


def _inside(box: Box, frame: Labelled) -> Box:
    """The mesh opening on the page; a very long frame is drawn shorter, so that words fit."""
    ratio = min(1.7, max(0.7, frame.inside_a_mm / frame.inside_b_mm))
    w = min(box.w - 2 * BESIDE, (box.h - 2 * ABOVE) * ratio)
    h = w / ratio
    return Box(box.x + (box.w - w) / 2, box.y + (box.h - h) / 2, w, h)


def _sides(inner: Box, frame: Labelled) -> dict[str, Side]:
    along, away = inner.w / frame.inside_a_mm, inner.h / frame.inside_b_mm
    right, foot = inner.x + inner.w, inner.y + inner.h
    return {
        "A": Side((inner.x, foot), (1, 0), (0, 1), along),
        "B": Side((right, foot), (0, -1), (1, 0), away),
        "C": Side((right, inner.y), (-1, 0), (0, -1), along),
        "D": Side((inner.x, inner.y), (0, 1), (-1, 0), away),
    }


def _mesh(paper: Paper, inner: Box) -> None:
    """A hint of cloth: fine crossing lines in the corners alone, so that figures stay legible."""
    reach = min(inner.w, inner.h) * 0.13
    for step in range(1, 6):
        off = reach * step / 6
        for x0, y0, dx, dy in (
            (inner.x, inner.y, 1, 1),
            (inner.x + inner.w, inner.y, -1, 1),
            (inner.x, inner.y + inner.h, 1, -1),
            (inner.x + inner.w, inner.y + inner.h, -1, -1),
        ):
            paper.rule(min(x0, x0 + dx * (reach - off)), y0 + dy * off, reach - off, 190)
            paper.pdf.line(x0 + dx * off, y0, x0 + dx * off, y0 + dy * (reach - off))


def _bolts(paper: Paper, name: str, side: Side, places: Sequence[float], shown: Shown) -> None:
    """Heads and numbers; where bolts stand too close for words, not each has its own."""
    room = min((b - a for a, b in pairwise(places)), default=100.0) * side.scale
    wide = 1.0 if side.upright else 1.9  # of a number, in ems, where words stand side by side
    size = max(SMALLEST, min(LARGEST, room / wide))
    every = ceil(size * wide / room - 0.01)
    for number, mm in enumerate(places, start=1):
        paper.line(side.at(mm, WALL), side.at(mm, WALL + OUT), MIDDLE)
        x, y = side.at(mm, WALL + OUT)
        paper.disc(x, y, min(BOLT, room * 0.4))
        last = number == len(places)
        near_last = len(places) - number < every
        if last or (number % every == 1 % every and not near_last):
            _bolt_words(paper, side, mm, f"{name}{number}", size, shown, room * every)


def _bolt_words(
    paper: Paper, side: Side, mm: float, bolt: str, size: float, shown: Shown, room: float
) -> None:
    """The bolt's number outside of it, and what there is to tell of it behind that."""
    x, y = side.at(mm, WALL + OUT + BOLT + 0.7)
    _outward_words(paper, side, (x, y), bolt, size, bold=False)
    turned = shown.turned.get(bolt) or ("×" if bolt in shown.stuck else "")
    if not turned:
        return
    out = paper.width(bolt, size) + 0.8 if side.upright else size * CAPS + 0.9
    space = BESIDE - WALL - OUT - BOLT - 0.7 - out if side.upright else room
    big = min(size * 1.25, size * 1.25 * space / paper.width(turned, size * 1.25, True))
    if big >= SMALLEST:  # all turns stand in words as well
        at = (x + side.outward[0] * out, y + side.outward[1] * out)
        _outward_words(paper, side, at, turned, big, bold=True)


def _outward_words(
    paper: Paper, side: Side, at: tuple[float, float], words: str, size: float, *, bold: bool
) -> None:
    """Words that begin at a point and go outward from their side."""
    align = {1: "left", -1: "right", 0: "middle"}[side.outward[0]]
    base = at[1] + size * CAPS * (0.5 + 0.5 * side.outward[1])
    paper.text(at[0], base, words, size, bold=bold, align=align, grey=INK if bold else SOFT)


def _letters(paper: Paper, inner: Box, scale: float) -> None:
    size, gap = 5.2 * scale, 4.6 * scale
    middle_x, middle_y = inner.x + inner.w / 2, inner.y + inner.h / 2
    places = {
        "A": (middle_x, inner.y + inner.h - gap),
        "B": (inner.x + inner.w - gap, middle_y),
        "C": (middle_x, inner.y + gap),
        "D": (inner.x + gap, middle_y),
    }
    for name, (x, y) in places.items():
        paper.text(x, y + size * CAPS / 2, name, size, bold=True, align="middle", grey=INK)


def _reading(paper: Paper, inner: Box, at: tuple[float, float], words: str, size: float) -> None:
    x, y = inner.x + at[0] * inner.w, inner.y + (1 - at[1]) * inner.h
    paper.text(x, y + size * CAPS / 2, words, size, align="middle")
