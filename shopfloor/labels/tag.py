"""One label: the symbol on the left, the words on the right of it."""

from dataclasses import dataclass
from math import ceil, floor

from frames.wording import say, written

from .ink import DOTS_PER_MM, Ink, fitting, printable, width
from .plan_view import Labelled
from .problems import LabelProblem
from .side import draw_side
from .stocks import Box
from .symbol import LEAST_MODULE_MM, QUIET, Symbol, address, symbol

EDGE = 1.5  # room for a printer that feeds the sheet a little askew, mm
LEAST_TEXT_W = 26.0
LARGEST_PART = 0.46  # of the label's width that the symbol may take
LARGEST_MODULE_MM = 1.2
TINY = 1e-9


@dataclass(frozen=True)
class Room:
    """How a label is parted: the symbol's place and module, and the box for words."""

    at: tuple[float, float]
    module: float
    text: Box


def draw_tag(ink: Ink, cell: Box, frame: Labelled, side: str, origin: str) -> None:
    """Draw the label of one side ("A" or "C") of one frame into its cell."""
    made = symbol(address(frame.code, origin))
    room = parted(cell, made, ink.grid)
    ink.modules(room.at, room.module, made.modules)
    below = _names(ink, room.text, frame)
    draw_side(ink, room.text, below, frame, side)


def parted(cell: Box, made: Symbol, grid: float = DOTS_PER_MM) -> Room:
    """Give the symbol the height of the label as far as the words leave it room.

    Modules and their places are whole dots of the printer, `grid` of them to the mm.
    """
    inside = cell.inset(EDGE)
    least = made.across * ceil(LEAST_MODULE_MM * grid - TINY) / grid
    most = max(least, inside.w * LARGEST_PART)
    across = min(inside.h, inside.w - LEAST_TEXT_W, most, made.across * LARGEST_MODULE_MM)
    if across < least - TINY:
        raise _too_small(cell, made, least)
    module = floor(across / made.across * grid + TINY) / grid
    wide, quiet = module * made.across, QUIET * module
    top = inside.y + (inside.h - wide) / 2 + quiet
    left = inside.x + wide
    # the words begin and end level with the symbol, or take what a low label gives
    edge = max(0.5, min(top - inside.y, inside.h - 34.0 if inside.h > 36.0 else 0.5) / 4)
    text = Box(left, inside.y + edge, inside.x + inside.w - left - 0.5, inside.h - 2 * edge)
    at = (round((inside.x + quiet) * grid) / grid, round(top * grid) / grid)
    return Room(at, module, text)


def _too_small(cell: Box, made: Symbol, symbol_mm: float) -> LabelProblem:
    symbol_mm = ceil(symbol_mm * 10 - TINY) / 10
    least = round(symbol_mm + 2 * EDGE, 1)
    return LabelProblem(
        "stock",
        say("labels of {0} × {1} mm", written(cell.w, "g"), written(cell.h, "g")),
        say(
            "The symbol of {0} needs {1} mm. Choose labels of at least {2} × {3} mm, or a "
            "shorter PUBLIC_ORIGIN.",
            made.text,
            written(symbol_mm, "g"),
            written(least + LEAST_TEXT_W, "g"),
            written(least, "g"),
        ),
    )


def _names(ink: Ink, box: Box, frame: Labelled) -> Box:
    """The code as large as it goes, the engraved name under it; what is left below."""
    size = fitting(frame.code, box.w, box.h * (0.4 if box.h > 24 else 0.32), bold=True)
    base = box.y + size * 0.7
    ink.text((box.x, base), frame.code, size, bold=True)
    if frame.second_name and printable(frame.second_name):
        small = min(4.4, size * 0.45)
        base += small * 1.25
        ink.text(
            (box.x, base), _cut(say("engraved {0}", frame.second_name), small, box.w), small, True
        )
    top = base + max(1.6, box.h * 0.07)
    return Box(box.x, top, box.w, box.y + box.h - top)


def _cut(name: str, size: float, room: float) -> str:
    """The name shortened to the room, so that it never runs off the label."""
    if width(name, size, bold=True) <= room:
        return name
    while name and width(f"{name}...", size, bold=True) > room:
        name = name[:-1]
    return f"{name}..."
