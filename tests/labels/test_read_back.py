"""Labels printed at 150 dpi are read back by two decoders that share no code with ours."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import cv2
import numpy as np
import pytest
import zxingcpp

from frames.codes import parse_code, scan_target
from shopfloor.labels import STOCKS, sheet
from shopfloor.labels.symbol import QUIET, address, symbol
from shopfloor.labels.tag import parted
from tests.labels.printed import ORIGIN, Picture, Printed, frames

DPI = 150
LABELS = 500


@dataclass
class Label:
    """One printed label: its picture, what it must say, and where its symbol lies (pixels)."""

    picture: Picture
    says: str
    corner: tuple[float, float]
    module: float
    modules: int


def labels(stock_key: str, count: int) -> Iterator[Label]:
    stock, wanted = STOCKS[stock_key], frames(count // 2, first=1000)
    out = Printed(sheet(wanted, stock=stock_key, origin=ORIGIN), DPI)
    codes = iter([frame.code for frame in wanted for _ in "AC"])
    px = DPI / 25.4
    for number in range(out.pages):
        page = out.page(number)
        for box, code in zip(stock.boxes(), codes, strict=False):
            made = symbol(address(code, ORIGIN))
            room = parted(box, made)
            corner = ((room.at[0] - box.x) * px, (room.at[1] - box.y) * px)
            picture = out.cut(page, box).copy()
            yield Label(picture, made.text, corner, room.module * px, len(made.modules))


def by_zxing(picture: Picture) -> list[str]:
    return [found.text for found in zxingcpp.read_barcodes(picture)]


def by_opencv(picture: Picture) -> list[str]:
    """What the first of four looks says: as it is and mirrored, and both twice as large.

    This decoder learns how many modules there are by counting along the upper of the two
    timing lines alone; mirrored about the diagonal it counts along the other. It wants some
    five dots to a module.
    """
    larger = cv2.resize(picture, None, fx=2, fy=2, interpolation=cv2.INTER_CUBIC)
    for look in (picture, cv2.transpose(picture), larger, cv2.transpose(larger)):
        if said := cv2.QRCodeDetector().detectAndDecode(look)[0]:
            return [said]
    return [""]


@pytest.fixture(scope="module")
def many() -> list[Label]:
    return list(labels("a4-14", LABELS))


def test_every_one_of_500_labels_is_read_by_both_decoders(many: list[Label]) -> None:
    assert len(many) == LABELS
    for label in many:
        assert by_zxing(label.picture) == [label.says]
        assert by_opencv(label.picture) == [label.says]


@pytest.mark.parametrize("stock_key", STOCKS)
def test_every_stock_is_read_by_both_decoders(stock_key: str) -> None:
    for label in labels(stock_key, 20):
        assert by_zxing(label.picture) == [label.says]
        assert by_opencv(label.picture) == [label.says]


def test_what_is_read_is_a_frame_of_this_shop() -> None:
    label = next(labels("letter-10", 2))
    target = scan_target(by_zxing(label.picture)[0], ORIGIN)
    assert target.other_host is None
    assert target.code == parse_code(frames(1, first=1000)[0].code)


@pytest.mark.parametrize("read", [by_zxing, by_opencv])
def test_a_blot_over_a_tenth_of_the_symbol_leaves_95_percent_readable(
    many: list[Label], read: Callable[[Picture], list[str]]
) -> None:
    rng = np.random.default_rng(20)
    right = [label.says in read(blotted(label, rng)) for label in many]
    assert np.mean(right) >= 0.95


def test_the_blot_is_a_tenth_of_the_symbol_and_off_the_finders(many: list[Label]) -> None:
    rng = np.random.default_rng(22)
    for label in many[:50]:
        after = blotted(label, rng, shade=77)
        assert np.mean(window(label, after) == 77) == pytest.approx(0.1, abs=0.006)
        span = round(7 * label.module)
        left, top = (round(at) for at in label.corner)
        assert not (after[top : top + span, left : left + span] == 77).any()


def window(label: Label, picture: Picture) -> Picture:
    left, top = (round(at) for at in label.corner)
    wide = round(label.modules * label.module)
    return picture[top : top + wide, left : left + wide]


def blotted(label: Label, rng: np.random.Generator, *, shade: int | None = None) -> Picture:
    """The label with one round blot, black or white, anywhere off the finder patterns."""
    wide, radius = label.modules, np.sqrt(0.1 / np.pi) * label.modules
    at = rng.uniform(radius, wide - radius, 2)
    while not off_finders(at, wide, radius):
        at = rng.uniform(radius, wide - radius, 2)
    picture = label.picture.copy()
    centre = [round(c + part * label.module) for c, part in zip(label.corner, at, strict=True)]
    colour = int(rng.integers(2)) * 255 if shade is None else shade
    return cv2.circle(picture, centre, round(radius * label.module), colour, cv2.FILLED)


def off_finders(at: np.ndarray, wide: int, radius: float) -> bool:
    corners = [(0, 0), (wide - 7, 0), (0, wide - 7)]
    gaps = [np.maximum(np.maximum(np.array(c) - at, at - np.array(c) - 7), 0) for c in corners]
    return all(np.hypot(*gap) > radius for gap in gaps)


def test_the_quiet_zone_is_blank() -> None:
    """ISO/IEC 18004: four modules of the light colour on all four sides (from memory)."""
    for label in labels("letter-30", 20):
        wide, quiet = label.modules * label.module, QUIET * label.module - 1
        left, top = label.corner
        x0, x1 = round(left - quiet), round(left + wide + quiet)
        y0, y1 = round(top - quiet), round(top + wide + quiet)
        around = label.picture[max(y0, 0) : y1, max(x0, 0) : x1].copy()
        inner_x, inner_y = round(left) - max(x0, 0), round(top) - max(y0, 0)
        span = round(wide) + 1
        around[inner_y - 1 : inner_y + span, inner_x - 1 : inner_x + span] = 255
        assert (around > 200).all()
