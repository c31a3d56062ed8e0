"""One label: what stands on it, and that it stays inside its cell."""

from io import BytesIO

import numpy as np
import pytest
import zxingcpp
from PIL import Image

from shopfloor.labels import STOCKS, LabelProblem, png
from shopfloor.labels.ink import Ink
from shopfloor.labels.plan_view import plan_view
from shopfloor.labels.stocks import Box
from shopfloor.labels.symbol import LEAST_MODULE_MM, address, symbol
from shopfloor.labels.tag import draw_tag, parted
from shopfloor.labels.words import place
from tests.labels.printed import ORIGIN, Frame, frames

LONG = "https://" + "screen-room." * 5 + "example:8443"


def drawn(cell: Box, frame: Frame, side: str = "A", origin: str = ORIGIN) -> np.ndarray:
    """The ink of one label on a page with 10 mm around it (True is dark)."""
    ink = Ink(cell.w + 20, cell.h + 20)
    draw_tag(ink, Box(10, 10, cell.w, cell.h), frame, side, origin)
    return ~np.array(ink.image)


@pytest.mark.parametrize("key", STOCKS)
@pytest.mark.parametrize(
    "name", ["", "12", "large frame from the old screen room", "Ärmel 7", "Рама 3"]
)
def test_ink_stays_inside_the_cell(key: str, name: str) -> None:
    cell = STOCKS[key].cell(1)
    dark = drawn(cell, frames(1, second_name=name)[0])
    rows, columns = np.nonzero(dark)
    assert min(rows.min(), columns.min()) >= 10.5 * 20
    assert columns.max() <= (cell.w + 9.5) * 20
    assert rows.max() <= (cell.h + 9.5) * 20


def test_each_side_says_where_it_belongs() -> None:
    frame = frames(1)[0]
    assert "bolt A1 and its punch mark" in place(frame, "A")
    assert "across from bolt A1" in place(frame, "C")
    assert "bolt C6" in place(frame, "C")
    assert (drawn(Box(0, 0, 99, 38), frame, "A") != drawn(Box(0, 0, 99, 38), frame, "C")).any()


def test_the_second_name_is_printed() -> None:
    bare, named = frames(1)[0], frames(1, second_name="12")[0]
    assert (drawn(Box(0, 0, 99, 38), bare) != drawn(Box(0, 0, 99, 38), named)).any()


def test_a_name_no_font_can_write_is_left_off() -> None:
    bare, named = frames(1)[0], frames(1, second_name="\u4e00")[0]
    assert (drawn(Box(0, 0, 99, 38), bare) == drawn(Box(0, 0, 99, 38), named)).all()


def test_a_label_too_small_says_the_least_size_and_that_size_works() -> None:
    frame = frames(1)[0]
    with pytest.raises(LabelProblem) as told:
        drawn(Box(0, 0, 40, 15), frame)
    assert told.value.field == "stock"
    assert "40 × 15 mm" in told.value.value
    least = symbol(address(frame.code, ORIGIN)).least_mm
    w, h = least + 26 + 3, least + 3
    assert f"at least {w:g} × {h:g} mm" in told.value.remedy
    assert drawn(Box(0, 0, w, h), frame).any()
    with pytest.raises(LabelProblem):
        drawn(Box(0, 0, w, h - 0.5), frame)


def test_a_long_address_is_refused_on_small_labels_and_taken_on_large_ones() -> None:
    frame = frames(1)[0]
    with pytest.raises(LabelProblem, match="shorter PUBLIC_ORIGIN"):
        draw_tag(Ink(80, 40), STOCKS["letter-30"].cell(1), frame, "A", LONG)
    draw_tag(Ink(210, 297), STOCKS["a4-8"].cell(1), frame, "A", LONG)


@pytest.mark.parametrize("key", STOCKS)
def test_modules_are_large_enough_for_a_phone(key: str) -> None:
    made = symbol(address("F0417-N", ORIGIN))
    assert parted(STOCKS[key].cell(1), made).module >= LEAST_MODULE_MM


def test_the_picture_has_its_true_size_and_reads() -> None:
    frame = frames(1)[0]
    picture = Image.open(BytesIO(png(frame, side="C", origin=ORIGIN)))
    w, h = (dots / dpi * 25.4 for dots, dpi in zip(picture.size, picture.info["dpi"], strict=True))
    assert (w, h) == pytest.approx((99.1, 38.1), abs=0.02)
    read = zxingcpp.read_barcodes(np.array(picture.convert("L").reduce(3)))
    assert [found.text for found in read] == [address(frame.code, ORIGIN)]
    with pytest.raises(LabelProblem, match="choose A or C"):
        png(frame, side="B", origin=ORIGIN)


@pytest.mark.parametrize(("side", "half"), [("A", "foot"), ("C", "top")])
def test_the_drawing_puts_the_label_at_the_left_end_of_its_side(side: str, half: str) -> None:
    """Seen from the squeegee side with A near: A1 is left, the label beside it."""
    pictures = {}
    for each in ("A", "C"):
        ink = Ink(40, 40)
        plan_view(ink, Box(0, 0, 40, 40), Frame("F0001-X"), each)
        pictures[each] = ~np.array(ink.image)
    other = "C" if side == "A" else "A"
    rows, columns = np.nonzero(pictures[side] & ~pictures[other])
    assert (rows.min() > 400) if half == "foot" else (rows.max() < 400)
    assert columns.mean() < 400
