"""Black ink on a white page, placed in millimetres.

Twenty dots to the millimetre (508 dpi): A4, Letter and every measure of a label stock
are then whole dots, so nothing is rounded and the PDF has the true size.
"""

from functools import lru_cache

import numpy as np
from fontpkg.pil import truetype
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont

from .stocks import Box

DOTS_PER_MM = 20
DPI = 25.4 * DOTS_PER_MM
Point = tuple[float, float]


def dots(mm: float) -> int:
    return round(mm * DOTS_PER_MM)


class Ink:
    """A one-bit drawing; all positions and sizes in mm from its upper left corner."""

    def __init__(self, w: float, h: float) -> None:
        self.image = Image.new("1", (dots(w), dots(h)), 1)
        self._draw = ImageDraw.Draw(self.image)

    def fill(self, box: Box, ink: int = 0) -> None:
        right, bottom = dots(box.x + box.w) - 1, dots(box.y + box.h) - 1
        self._draw.rectangle((dots(box.x), dots(box.y), right, bottom), fill=ink)

    def outline(self, box: Box, width: float, radius: float = 0.0) -> None:
        edges = (dots(box.x), dots(box.y), dots(box.x + box.w) - 1, dots(box.y + box.h) - 1)
        self._draw.rounded_rectangle(edges, dots(radius), outline=0, width=dots(width))

    def line(self, a: Point, b: Point, width: float) -> None:
        self._draw.line([(dots(x), dots(y)) for x, y in (a, b)], fill=0, width=dots(width))

    def disc(self, centre: Point, radius: float, ink: int = 0) -> None:
        self._draw.circle([dots(at) for at in centre], dots(radius), fill=ink)

    def polygon(self, corners: list[Point], ink: int = 0) -> None:
        self._draw.polygon([(dots(x), dots(y)) for x, y in corners], fill=ink)

    def modules(self, at: Point, module: float, dark: NDArray[np.bool_]) -> None:
        """A QR symbol: square modules of a whole number of dots."""
        grid = np.kron(~dark, np.ones((dots(module), dots(module)), dtype=bool))
        self.image.paste(Image.fromarray(grid), [dots(value) for value in at])

    def text(
        self,
        at: Point,
        words: str,
        size: float,
        bold: bool = False,
        anchor: str = "ls",
        ink: int = 0,
    ) -> None:
        """Words with their anchor at a point: `ls` left on the baseline, `mm` middle."""
        place = [dots(value) for value in at]
        self._draw.text(place, words, font=face(words, size, bold), fill=ink, anchor=anchor)


@lru_cache(maxsize=256)
def _font(family: str, size: float, bold: bool) -> ImageFont.FreeTypeFont:
    return truetype(family, dots(size), 700 if bold else 400)


PLAIN, WIDE = "Atkinson Hyperlegible", "Noto Sans"


def face(words: str, size: float, bold: bool = False) -> ImageFont.FreeTypeFont:
    """A font that has every letter of `words`; `size` is the em in mm.

    The plain one slashes its zero, which a code with both 0 and O needs; the wide one
    knows Greek and Cyrillic and stands in where an engraved name needs them.
    """
    return _font(PLAIN if _knows(PLAIN, words) else WIDE, size, bold)


@lru_cache(maxsize=1024)
def _knows(family: str, words: str) -> bool:
    font = _font(family, 2.0, False)
    missing = bytes(font.getmask("\uffff"))
    return all(letter == " " or bytes(font.getmask(letter)) != missing for letter in words)


def printable(words: str) -> bool:
    """Whether one of the two fonts has every letter."""
    return _knows(PLAIN, words) or _knows(WIDE, words)


def width(words: str, size: float, bold: bool = False) -> float:
    return face(words, size, bold).getlength(words) / DOTS_PER_MM


def fitting(words: str, room: float, largest: float, bold: bool = False) -> float:
    """The largest em size up to `largest` at which `words` are at most `room` wide."""
    wide = width(words, largest, bold)
    return largest if wide <= room else int(largest * room / wide * 10) / 10


def wrapped(words: str, size: float, room: float) -> list[str]:
    """The words in lines no wider than `room`; a single longer word stays whole."""
    lines: list[str] = []
    for word in words.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and width(longer, size) <= room:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines
