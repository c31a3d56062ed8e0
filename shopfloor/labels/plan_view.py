"""The small drawing on a label: the frame from its squeegee side, side A near.

Side A lies at the foot with its punch mark at bolt A1; the black bar outside the wall is
where this label goes.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Protocol

from .ink import Ink
from .stocks import Box


class Labelled(Protocol):
    """What a label needs of a frame: code, second name, inside size in mm, bolts in mm."""

    code: str
    second_name: str
    inside_a_mm: float
    inside_b_mm: float
    bolts: Mapping[str, Sequence[float]]


@dataclass(frozen=True)
class Lines:
    """Weights and sizes of the drawing in mm, all in proportion to its room."""

    wall: float
    thin: float
    tick: float
    mark: float
    letters: float

    @classmethod
    def for_room(cls, box: Box) -> "Lines":
        unit = min(box.w, box.h, 32.0)
        return cls(unit * 0.1, max(0.15, unit * 0.011), unit * 0.055, unit * 0.045, unit * 0.17)


def plan_view(ink: Ink, box: Box, frame: Labelled, side: str) -> None:
    """Draw the frame into the box, keeping its proportions, with the label's place."""
    lines = Lines.for_room(box)
    spare = lines.tick * 2.2
    outer = _shape(box, frame, spare)
    inner = outer.inset(lines.wall)
    ink.outline(outer, lines.thin * 1.6)
    ink.outline(inner, lines.thin)
    _bolts(ink, outer, inner, frame, lines)
    _letters(ink, inner, lines)
    _place(ink, outer, frame, side, lines)


def _shape(box: Box, frame: Labelled, spare: float) -> Box:
    """The frame's outline, centred; drawn no slimmer than 3 to 4 so the letters fit."""
    ratio = min(1.5, max(0.75, frame.inside_a_mm / frame.inside_b_mm))
    room_w, room_h = box.w - 2 * spare, box.h - 2 * spare
    w = min(room_w, room_h * ratio)
    h = w / ratio
    return Box(box.x + (box.w - w) / 2, box.y + (box.h - h) / 2, w, h)


def _bolts(ink: Ink, outer: Box, inner: Box, frame: Labelled, lines: Lines) -> None:
    """Ticks for the bolts of A and C, and the punch mark on the wall at A1."""
    foot = outer.y + outer.h
    for at in frame.bolts["A"]:
        x = inner.x + at / frame.inside_a_mm * inner.w
        ink.line((x, foot), (x, foot + lines.tick), lines.thin * 1.6)
    for at in frame.bolts["C"]:
        x = inner.x + inner.w - at / frame.inside_a_mm * inner.w
        ink.line((x, outer.y - lines.tick), (x, outer.y), lines.thin * 1.6)
    first = inner.x + frame.bolts["A"][0] / frame.inside_a_mm * inner.w
    ink.disc((first, foot - lines.wall / 2), lines.mark)


def _letters(ink: Ink, inner: Box, lines: Lines) -> None:
    size = min(lines.letters, inner.w * 0.28)
    gap = size * 0.62
    middle_x, middle_y = inner.x + inner.w / 2, inner.y + inner.h / 2
    ink.text((middle_x, inner.y + inner.h - gap), "A", size, bold=True, anchor="mm")
    ink.text((inner.x + inner.w - gap, middle_y), "B", size, anchor="mm")
    ink.text((middle_x, inner.y + gap), "C", size, anchor="mm")
    ink.text((inner.x + gap, middle_y), "D", size, anchor="mm")


def _place(ink: Ink, outer: Box, frame: Labelled, side: str, lines: Lines) -> None:
    """The bar that stands for the label: on side A after bolt A1, on C across from there."""
    scale = (outer.w - 2 * lines.wall) / frame.inside_a_mm
    first, *others = frame.bolts["A"]
    room = (others[0] - first if others else frame.inside_a_mm / 4) * scale
    left = outer.x + lines.wall + first * scale + lines.tick * 0.6
    long = max(room - lines.tick * 1.2, outer.w * 0.18)
    y = outer.y + outer.h if side == "A" else outer.y - lines.tick * 1.7
    ink.fill(Box(left, y + lines.thin if side == "A" else y - lines.thin, long, lines.tick * 1.7))
