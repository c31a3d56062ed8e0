"""Frames to label, and the label PDF turned into pictures as a printer would."""

from dataclasses import dataclass, field

import numpy as np
import pypdfium2 as pdfium
from numpy.typing import NDArray

from frames.codes import format_code
from shopfloor.labels.stocks import Box

ORIGIN = "https://tautbook.shop.lan:8443"
Picture = NDArray[np.uint8]


@dataclass
class Frame:
    """What a label reads of a frame."""

    code: str
    second_name: str = ""
    inside_a_mm: float = 800.0
    inside_b_mm: float = 1000.0
    bolts: dict[str, list[float]] = field(
        default_factory=lambda: {
            "A": [80.0 + 128 * i for i in range(6)],
            "B": [80.0 + 140 * i for i in range(7)],
            "C": [80.0 + 128 * i for i in range(6)],
            "D": [80.0 + 140 * i for i in range(7)],
        }
    )


def frames(count: int, first: int = 1, second_name: str = "") -> list[Frame]:
    return [Frame(format_code("F", first + i), second_name) for i in range(count)]


class Printed:
    """A PDF and its pages at a number of dots per inch, white 255."""

    def __init__(self, pdf: bytes, dpi: float) -> None:
        self._pdf = pdfium.PdfDocument(pdf)
        self.dpi = dpi
        self.pages = len(self._pdf)

    def size_mm(self, page: int = 0) -> tuple[float, float]:
        w, h = self._pdf[page].get_size()
        return w * 25.4 / 72, h * 25.4 / 72

    def page(self, number: int = 0) -> Picture:
        drawn = self._pdf[number].render(scale=self.dpi / 72, grayscale=True)
        return drawn.to_numpy().squeeze()

    def cut(self, page: Picture, box: Box) -> Picture:
        """The part of a page that lies in a box of millimetres."""
        left, top, right, foot = (
            round(mm * self.dpi / 25.4) for mm in (box.x, box.y, box.x + box.w, box.y + box.h)
        )
        return page[top:foot, left:right]
