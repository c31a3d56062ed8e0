"""Two pages for plain paper: the outlines of a stock, and what to know before printing."""

from PIL import Image

from frames.wording import say

from . import words
from .ink import Ink, wrapped
from .pages import pdf
from .plan_view import plan_view
from .ruler import ruler
from .stocks import Box, Stock, stock_of

MARGIN = 18.0


class _Example:
    """The frame drawn on the page of notes."""

    code, second_name, inside_a_mm, inside_b_mm = "", "", 800.0, 1000.0
    bolts = {side: [80 + 160 * i for i in range(5)] for side in "AC"} | {
        side: [100 + 160 * i for i in range(6)] for side in "BD"
    }


def trial_page(*, stock: str) -> bytes:
    """Outlines and ruler of a stock, then notes on material, sticking and safety, as PDF."""
    chosen = stock_of(stock)
    return pdf([_outlines(chosen), _notes(chosen)])


def _outlines(stock: Stock) -> Image.Image:
    ink = Ink(*stock.page_size)
    for number, box in enumerate(stock.boxes(), start=1):
        ink.outline(box, 0.15)
        ink.text((box.x + box.w / 2, box.y + box.h / 2), str(number), 9.0, anchor="mm")
    for row, line in enumerate(map(say, words.TRUE_SIZE)):
        ink.text((12.0, stock.top - 5.4 + 3.8 * row), line, 2.8)
    ruler(ink, stock, stock.title)
    return ink.image


def _notes(stock: Stock) -> Image.Image:
    ink = Ink(*stock.page_size)
    w, h = stock.page_size
    ink.text((MARGIN, MARGIN + 6.0), say("Labels for frames"), 9.0, bold=True)
    y = MARGIN + 16.0
    for title, sentences in (
        (say("What to print on"), [*map(say, words.PRINT_ON)]),
        (say("Where they go"), [*map(say, words.STICKING)]),
        (say("Take care"), [*map(say, words.CAUTIONS)]),
    ):
        y = _section(ink, y, w - 2 * MARGIN, title, sentences)
    _both_places(ink, Box(MARGIN, y, w - 2 * MARGIN, h - y - 14.0))
    ruler(ink, stock, stock.title)
    return ink.image


def _section(ink: Ink, y: float, room: float, title: str, sentences: tuple[str, ...]) -> float:
    """A heading and its sentences; returns where the next section begins."""
    ink.text((MARGIN, y), title, 4.6, bold=True)
    y += 6.2
    for sentence in sentences:
        ink.disc((MARGIN + 1.2, y - 1.1), 0.5)
        for line in wrapped(sentence, 3.5, room - 4.5):
            ink.text((MARGIN + 4.5, y), line, 3.5)
            y += 4.6
        y += 1.0
    return y + 4.0


def _both_places(ink: Ink, box: Box) -> None:
    """The same frame twice: where the label of side A goes, and that of side C."""
    half = box.w / 2
    for column, side in enumerate(("A", "C")):
        left = box.x + column * half
        plan_view(ink, Box(left, box.y, half, min(box.h - 8.0, 70.0)), _Example(), side)
        said = say("Label of side {0}", side)
        ink.text((left + half / 2, box.y + min(box.h, 78.0) - 2.0), said, 3.5, True, anchor="ms")
