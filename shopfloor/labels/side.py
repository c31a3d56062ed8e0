"""Which side a label belongs to: black tab, sentence, drawing, arranged by the room."""

from frames.wording import say

from . import words
from .ink import Ink, fitting, width, wrapped
from .plan_view import Labelled, plan_view
from .stocks import Box

LARGEST_TYPE, SMALLEST_TYPE = 3.6, 2.0  # em, mm (10 pt and 5.7 pt)
LINE = 1.14  # line to line, in ems
GAP = 1.3


def draw_side(ink: Ink, column: Box, box: Box, frame: Labelled, side: str) -> None:
    """Draw tab, sentence and drawing into the box left of a label's column of words.

    The column, not the box, decides the arrangement: a sheet then looks the same for
    frames with and without a second name.
    """
    arrange = _slim if column.w < column.h * 1.2 else _in_a_row
    tab, sentence, drawing = (_tall if column.h > 45 else arrange)(box)
    _tab(ink, tab, side)
    _sentence(ink, sentence, frame, side)
    plan_view(ink, drawing, frame, side)


def _in_a_row(box: Box) -> tuple[Box, Box, Box]:
    tab = Box(box.x, box.y, min(box.h, 11.0, box.w * 0.24), min(box.h, 11.0))
    drawing_w = min(box.h * 1.35, box.w * 0.36)
    left = tab.x + tab.w + GAP
    sentence = Box(left, box.y, box.x + box.w - drawing_w - GAP - left, box.h)
    return tab, sentence, Box(box.x + box.w - drawing_w, box.y, drawing_w, box.h)


def _slim(box: Box) -> tuple[Box, Box, Box]:
    upper = box.h * 0.62
    tab = Box(box.x, box.y, min(9.5, upper), min(9.5, upper))
    drawing = Box(tab.x + tab.w + GAP, box.y, box.w - tab.w - GAP, upper)
    return tab, Box(box.x, box.y + upper + GAP, box.w, box.h - upper - GAP), drawing


def _tall(box: Box) -> tuple[Box, Box, Box]:
    tab = Box(box.x, box.y, 12.0, 12.0)
    sentence = Box(tab.x + tab.w + GAP, box.y, box.w - tab.w - GAP, tab.h)
    top = box.y + tab.h + 2 * GAP
    return tab, sentence, Box(box.x, top, box.w, box.y + box.h - top)


def _tab(ink: Ink, tab: Box, side: str) -> None:
    ink.fill(tab)
    middle = tab.x + tab.w / 2
    said = say("SIDE")
    size = fitting(said, tab.w * 0.8, tab.w * 0.3, True)
    ink.text((middle, tab.y + tab.h * 0.24), said, size, True, "mm", ink=1)
    ink.text((middle, tab.y + tab.h * 0.64), side, tab.w * 0.8, True, "mm", ink=1)


def _sentence(ink: Ink, box: Box, frame: Labelled, side: str) -> None:
    """Set the sentence in the largest type at which those of both sides stay in the box."""
    both = [words.place(frame, each) for each in ("A", "C")]
    size = LARGEST_TYPE
    while size > SMALLEST_TYPE and not all(_fits(said, size, box) for said in both):
        size = round(size - 0.1, 1)
    for number, line in enumerate(wrapped(words.place(frame, side), size, box.w)):
        ink.text((box.x, box.y + size * (0.75 + LINE * number)), line, size)


def _fits(said: str, size: float, box: Box) -> bool:
    lines = wrapped(said, size, box.w)
    return max(width(line, size) for line in lines) <= box.w and len(lines) * size * LINE <= box.h
