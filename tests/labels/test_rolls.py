"""Labels from a roll: size and dots as asked, readable at each resolution, nothing cut off."""

import zipfile
from io import BytesIO

import cv2
import numpy as np
import pytest
import zxingcpp
from PIL import Image

from shopfloor.labels import LabelProblem
from shopfloor.labels.rolls import (
    RESOLUTIONS,
    Roll,
    roll_label,
    roll_pdf,
    roll_pictures,
    roll_png,
)
from shopfloor.labels.symbol import address, symbol
from tests.labels.printed import ORIGIN, Printed, frames

SIZES = [(100.0, 50.0), (76.0, 25.4), (57.0, 32.0), (60.0, 60.0), (50.0, 80.0)]
every_size = pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]:g}x{size[1]:g}")
every_dpi = pytest.mark.parametrize("dpi", RESOLUTIONS)


@every_dpi
@every_size
def test_the_picture_has_the_printers_dots_and_reads(size: tuple[float, float], dpi: int) -> None:
    frame = frames(1, second_name="K417")[0]
    picture = Image.open(BytesIO(roll_png(frame, "A", Roll(*size, dpi), ORIGIN)))
    wanted = [mm * RESOLUTIONS[dpi] for mm in size]
    assert picture.mode == "1"
    assert picture.size == pytest.approx(wanted, abs=0.5)
    # the PNG says dots per metre (ISO/IEC 15948, chunk pHYs)
    assert picture.info["dpi"][0] == pytest.approx(25.4 * RESOLUTIONS[dpi], abs=0.02)
    grey = np.array(picture.convert("L"))
    says = address(frame.code, ORIGIN)
    assert [found.text for found in zxingcpp.read_barcodes(grey)] == [says]


def test_the_second_decoder_reads_the_coarsest_label() -> None:
    frame = frames(1)[0]
    grey = np.array(roll_label(frame, "A", Roll(76, 40, 203), ORIGIN).convert("L"))
    assert cv2.QRCodeDetector().detectAndDecode(grey)[0] == address(frame.code, ORIGIN)


@every_dpi
def test_modules_are_whole_dots_of_the_printer(dpi: int) -> None:
    """A module that is not would be drawn wider here and narrower there."""
    frame = frames(1)[0]
    dark = ~np.array(roll_label(frame, "A", Roll(100, 50, dpi), ORIGIN))
    modules = symbol(address(frame.code, ORIGIN)).modules
    rows, columns = np.nonzero(dark[:, : dark.shape[1] // 2])
    top, left = rows.min(), columns.min()
    run = int(np.argmin(dark[top, left:]))
    side = run // 7  # the finder pattern is seven modules across: ISO/IEC 18004
    assert run == 7 * side
    wide = side * len(modules)
    seen = dark[top : top + wide, left : left + wide]
    assert (seen == np.kron(modules, np.ones((side, side), dtype=bool))).all()


@every_dpi
@every_size
@pytest.mark.parametrize("name", ["", "large frame from the old screen room", "Ärmel 7"])
def test_ink_stays_off_the_edge(size: tuple[float, float], dpi: int, name: str) -> None:
    frame = frames(1, second_name=name)[0]
    for side in "AC":
        dark = ~np.array(roll_label(frame, side, Roll(*size, dpi), ORIGIN))
        rim = round(0.9 * RESOLUTIONS[dpi])
        dark[rim:-rim, rim:-rim] = False
        assert not dark.any()


def test_the_pdf_has_one_label_a_page_both_sides_of_each_frame() -> None:
    wanted = frames(3, second_name="K1")
    for dpi in RESOLUTIONS:
        printed = Printed(roll_pdf(wanted, Roll(76, 51, dpi), ORIGIN), 150)
        assert printed.pages == 6
        read = [zxingcpp.read_barcodes(printed.page(n))[0].text for n in range(6)]
        assert read == [address(frame.code, ORIGIN) for frame in wanted for _ in "AC"]
        dot = 1 / RESOLUTIONS[dpi]
        assert printed.size_mm(5) == pytest.approx((76, 51), abs=dot / 2 + 0.001)


def test_the_engraved_name_is_on_the_label() -> None:
    roll = Roll(76, 40, 203)
    bare, named = (frames(1, second_name=name)[0] for name in ("", "K417"))
    pictures = [np.array(roll_label(frame, "A", roll, ORIGIN)) for frame in (bare, named)]
    assert (pictures[0] != pictures[1]).any()


def test_pictures_come_in_one_file_named_by_frame_and_side() -> None:
    wanted = frames(2)
    archive = zipfile.ZipFile(BytesIO(roll_pictures(wanted, Roll(76, 40, 300), ORIGIN)))
    assert archive.namelist() == [f"{f.code}-side-{s}.png" for f in wanted for s in "AC"]


@pytest.mark.parametrize(
    ("size", "field", "says"),
    [
        ((24, 50, 203), "width", "Give the label's width in mm, from 25 to 210."),
        ((50, 301, 203), "height", "Give the label's height in mm, from 12 to 300."),
        ((100, 50, 200), "dpi", "Choose the printer's dots per inch: 203, 300, 600."),
        ((40, 15, 203), "size", "Choose labels of at least"),
    ],
)
def test_what_cannot_be_printed_is_told(size: tuple, field: str, says: str) -> None:
    with pytest.raises(LabelProblem) as told:
        roll_pdf(frames(1), Roll(*size), ORIGIN)
    assert told.value.field == field
    assert says in told.value.remedy


@every_dpi
def test_the_least_size_that_is_told_works(dpi: int) -> None:
    with pytest.raises(LabelProblem) as told:
        roll_label(frames(1)[0], "A", Roll(30, 12, dpi), ORIGIN)
    w, h = told.value.remedy.split("at least ")[1].split(" mm")[0].split(" × ")
    assert roll_label(frames(1)[0], "A", Roll(float(w), float(h), dpi), ORIGIN)


def test_no_frame_and_too_many_are_told() -> None:
    for many, says in (([], "at least one"), (frames(501), "at most 500")):
        with pytest.raises(LabelProblem, match=says):
            roll_pdf(many, Roll(76, 40, 203), ORIGIN)
