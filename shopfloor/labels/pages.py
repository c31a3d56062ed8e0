"""Pages of labels as one PDF of exact size, and a single label as PNG."""

from collections.abc import Sequence
from io import BytesIO
from itertools import islice

from PIL import Image

from frames.wording import say

from .ink import DPI, Ink
from .plan_view import Labelled
from .problems import LabelProblem
from .ruler import ruler
from .stocks import Box, Stock, stock_of
from .tag import draw_tag

SIDES = ("A", "C")  # two opposite walls, so that a clamp never hides both labels
MOST_FRAMES = 500
ALONE = Box(0.0, 0.0, 99.1, 38.1)


def sheet(frames: Sequence[Labelled], *, stock: str, start: int = 1, origin: str) -> bytes:
    """Two labels per frame as a PDF, one bit deep, of the stock's true page size.

    Parameters: the frames in printing order; the stock's key (or "A4", "Letter" for the
    usual one); the cell of the first page to begin at, from 1; the public origin that
    phones use. Raises LabelProblem naming field, value and remedy.
    """
    chosen = stock_of(stock)
    _check(frames, chosen, start)
    tags = [(frame, side) for frame in frames for side in SIDES]
    pages = 1 + (start - 1 + len(tags) - 1) // chosen.cells
    waiting = iter(tags)
    images = []
    for page in range(pages):
        first = start if page == 0 else 1
        batch = list(islice(waiting, chosen.cells - first + 1))
        images.append(_page(chosen, first, batch, origin, say("page {0} of {1}", page + 1, pages)))
    return pdf(images)


def png(frame: Labelled, *, side: str, origin: str) -> bytes:
    """One label of the usual size as a PNG, for the screen or for a label printer."""
    if side not in SIDES:
        raise LabelProblem("side", side, say("choose A or C: the two walls that carry a label"))
    ink = Ink(ALONE.w, ALONE.h)
    draw_tag(ink, ALONE, frame, side, origin)
    out = BytesIO()
    ink.image.save(out, "PNG", dpi=(DPI, DPI))
    return out.getvalue()


def _check(frames: Sequence[Labelled], stock: Stock, start: int) -> None:
    if not frames:
        raise LabelProblem("frames", None, say("Choose at least one frame."))
    if len(frames) > MOST_FRAMES:
        raise LabelProblem(
            "frames", len(frames), say("print at most {0} frames at a time", MOST_FRAMES)
        )
    if not 1 <= start <= stock.cells:
        raise LabelProblem(
            "start",
            start,
            say("this sheet has labels 1 to {0}: give the first free one", stock.cells),
        )


def _page(
    stock: Stock, first: int, tags: list[tuple[Labelled, str]], origin: str, folio: str
) -> Image.Image:
    ink = Ink(*stock.page_size)
    for number, (frame, side) in enumerate(tags, start=first):
        draw_tag(ink, stock.cell(number), frame, side, origin)
    if stock.to_cut:
        _cut_lines(ink, stock)
    ruler(ink, stock, folio)
    return ink.image


def _cut_lines(ink: Ink, stock: Stock) -> None:
    """Short lines outside the labels that a guillotine or knife is laid along."""
    long, gap = 6.0, 1.0
    last = stock.cell(stock.cells)
    right, foot = last.x + last.w, last.y + last.h
    for box in stock.boxes():
        for x in (box.x, box.x + box.w):
            ink.line((x, stock.top - gap - long), (x, stock.top - gap), 0.15)
            ink.line((x, foot + gap), (x, foot + gap + long), 0.15)
        for y in (box.y, box.y + box.h):
            ink.line((stock.left - gap - long, y), (stock.left - gap, y), 0.15)
            ink.line((right + gap, y), (right + gap + long, y), 0.15)


def pdf(images: list[Image.Image]) -> bytes:
    """The pages as one PDF in which twenty dots are one millimetre."""
    out = BytesIO()
    rest = images[1:]
    images[0].save(
        out, "PDF", save_all=True, append_images=rest, resolution=DPI, title=say("Labels")
    )
    return out.getvalue()
