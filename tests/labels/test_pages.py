"""The sheets: true size, the ruler, cells where the stock has them, start anywhere."""

from itertools import pairwise

import numpy as np
import pytest

from shopfloor.labels import STOCKS, LabelProblem, sheet, trial_page
from shopfloor.labels.stocks import Box, Stock
from tests.labels.printed import ORIGIN, Picture, Printed, frames

# ISO 216:2007, A4 = 210 × 297 mm; US Letter = 8.5 × 11 in (ANSI/ASME Y14.1, size A).
PAGE_MM = {"A4": (210.0, 297.0), "Letter": (8.5 * 25.4, 11 * 25.4)}
PRINTABLE_MARGIN_MM = 4.2  # desktop laser printers: common practice, no source
FINE = 600


def of(stock: Stock, count: int, start: int = 1, dpi: float = 150) -> Printed:
    return Printed(sheet(frames(count), stock=stock.key, start=start, origin=ORIGIN), dpi)


def marked(printed: Printed, page: Picture, box: Box) -> bool:
    return bool((printed.cut(page, box) < 128).any())


every_stock = pytest.mark.parametrize("stock", STOCKS.values(), ids=STOCKS)


@every_stock
def test_every_page_has_the_exact_size(stock: Stock) -> None:
    printed = of(stock, stock.cells)
    assert printed.pages == 2
    for page in range(printed.pages):
        assert printed.size_mm(page) == pytest.approx(PAGE_MM[stock.page], abs=0.001)
    trial = Printed(trial_page(stock=stock.key), 150)
    assert trial.size_mm(0) == pytest.approx(PAGE_MM[stock.page], abs=0.001)


@every_stock
def test_the_ruler_is_50_mm_at_true_scale(stock: Stock) -> None:
    printed = of(stock, 1, dpi=FINE)
    page = printed.page()
    strip = page[-round(6 * FINE / 25.4) :, : page.shape[1] // 2]
    dark = strip < 128
    longest = max(stretch(row) for row in dark)
    assert longest * 25.4 / FINE == pytest.approx(50.0, abs=0.2)


def stretch(row: np.ndarray) -> int:
    """Length of the longest run of dark dots."""
    edges = np.flatnonzero(np.diff(np.concatenate([[False], row, [False]]).astype(int)))
    return int((edges[1::2] - edges[::2]).max(initial=0))


def test_the_ruler_has_51_strokes() -> None:
    printed = of(STOCKS["a4-14"], 1, dpi=FINE)
    page = printed.page()
    above = page.shape[0] - round((5.0 + 0.7) * FINE / 25.4)
    row = page[above, : round(64 * FINE / 25.4)] < 128
    assert np.count_nonzero(np.diff(row.astype(int)) == 1) == 51


@every_stock
def test_cells_lie_on_the_page_and_print_lies_within_the_margin(stock: Stock) -> None:
    w, h = PAGE_MM[stock.page]
    boxes = list(stock.boxes())
    for box in boxes:
        assert min(box.x, box.y) >= 0
        assert box.x + box.w <= w
        assert box.y + box.h <= h
    for a, b in pairwise(boxes):
        assert b.x >= a.x + a.w - 1e-9 or b.y >= a.y + a.h - 1e-9
    rows, columns = np.nonzero(of(stock, stock.cells // 2).page() < 128)
    dot = 25.4 / 150
    assert min(rows.min(), columns.min()) * dot >= PRINTABLE_MARGIN_MM
    assert h - rows.max() * dot >= PRINTABLE_MARGIN_MM
    assert w - columns.max() * dot >= PRINTABLE_MARGIN_MM


@every_stock
def test_margins_of_a_stock_are_even_left_and_right(stock: Stock) -> None:
    last = stock.cell(stock.cells)
    assert stock.left == pytest.approx(PAGE_MM[stock.page][0] - last.x - last.w, abs=0.15)


@every_stock
def test_nothing_is_printed_outside_the_labels_but_ruler_and_cut_lines(stock: Stock) -> None:
    printed = of(stock, stock.cells // 2)
    page = printed.page().copy()
    for box in stock.boxes():
        printed.cut(page, box.inset(0.5))[:] = 255
    foot = round((stock.page_size[1] - 9.5) * 150 / 25.4)
    left = np.count_nonzero(page[:foot] < 128)
    assert (left == 0) is not stock.to_cut


@pytest.mark.parametrize("start", [1, 2, 9, 14])
def test_the_first_page_starts_at_the_cell_asked_for(start: int) -> None:
    stock = STOCKS["a4-14"]
    printed = of(stock, 7, start)
    assert printed.pages == (1 if start == 1 else 2)
    used = [marked(printed, printed.page(), box) for box in stock.boxes()]
    assert used == [number >= start for number in range(1, 15)]
    if printed.pages == 2:
        rest = [marked(printed, printed.page(1), box) for box in stock.boxes()]
        assert rest == [number < start for number in range(1, 15)]


@pytest.mark.parametrize(
    ("field", "value", "says", "asked"),
    [
        ("start", 0, "labels 1 to 14", {"start": 0}),
        ("start", 15, "labels 1 to 14", {"start": 15}),
        ("stock", "round", "a4-14", {"stock": "round"}),
        ("frames", None, "at least one frame", {"frames": []}),
        ("frames", 501, "at most 500", {"frames": frames(501)}),
    ],
)
def test_what_cannot_be_printed_is_told(field: str, value: object, says: str, asked: dict) -> None:
    wanted = {"frames": frames(1), "stock": "A4", "start": 1} | asked
    with pytest.raises(LabelProblem) as told:
        sheet(wanted.pop("frames"), origin=ORIGIN, **wanted)
    assert (told.value.field, told.value.value) == (field, value)
    assert says in told.value.remedy


def test_a_page_name_means_its_usual_stock() -> None:
    one = frames(1)
    by_page = sheet(one, stock="Letter", origin=ORIGIN)
    assert Printed(by_page, 72).size_mm() == pytest.approx(PAGE_MM["Letter"], abs=0.001)


def test_the_trial_page_outlines_every_label() -> None:
    stock = STOCKS["letter-30"]
    printed = Printed(trial_page(stock=stock.key), 300)
    assert printed.pages == 2
    for box in stock.boxes():
        rim = printed.cut(printed.page(), Box(box.x - 0.1, box.y + 4, 0.4, box.h - 8))
        assert (rim.min(axis=1) < 128).all()
