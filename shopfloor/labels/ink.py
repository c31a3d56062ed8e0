"""Black ink on a white page, placed in millimetres.

Twenty dots to the millimetre (508 dpi): A4, Letter and every measure of a label stock
are then whole dots, so nothing is rounded and the PDF has the true size. For printers with
fewer dots the drawing is made finer than they print, then reduced: letters keep their width.
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


class Ink:
    """A one-bit drawing; all positions and sizes in mm from its upper left corner.

    `grid` is the printer's dots per mm; `over` how many dots are drawn across one of them.
    """

    def __init__(self, w: float, h: float, grid: float = DOTS_PER_MM, over: int = 1) -> None:
        self.grid, self._over = grid, over
        size = (round(w * grid) * over, round(h * grid) * over)
        self.image = Image.new("1", size, 1)
        self._draw = ImageDraw.Draw(self.image)

    def dots(self, mm: float) -> int:
        return round(mm * self.grid * self._over)

    def printed(self) -> Image.Image:
        """The drawing in the printer's own dots: black where at least half of one is."""
        if self._over == 1:
            return self.image
        grey = self.image.convert("L").reduce(self._over)
        return grey.point([255 if shade > 127 else 0 for shade in range(256)], "1")

    def fill(self, box: Box, ink: int = 0) -> None:
        dots = self.dots
        right, bottom = dots(box.x + box.w) - 1, dots(box.y + box.h) - 1
        self._draw.rectangle((dots(box.x), dots(box.y), right, bottom), fill=ink)

    def outline(self, box: Box, width: float, radius: float = 0.0) -> None:
        dots = self.dots
        edges = (dots(box.x), dots(box.y), dots(box.x + box.w) - 1, dots(box.y + box.h) - 1)
        self._draw.rounded_rectangle(edges, dots(radius), outline=0, width=dots(width))

    def line(self, a: Point, b: Point, width: float) -> None:
        ends = [(self.dots(x), self.dots(y)) for x, y in (a, b)]
        self._draw.line(ends, fill=0, width=max(1, self.dots(width)))

    def disc(self, centre: Point, radius: float, ink: int = 0) -> None:
        self._draw.circle([self.dots(at) for at in centre], self.dots(radius), fill=ink)

    def polygon(self, corners: list[Point], ink: int = 0) -> None:
        self._draw.polygon([(self.dots(x), self.dots(y)) for x, y in corners], fill=ink)

    def modules(self, at: Point, module: float, dark: NDArray[np.bool_]) -> None:
        """A QR symbol: square modules of a whole number of dots."""
        square = np.ones((self.dots(module), self.dots(module)), dtype=bool)
        symbol = Image.fromarray(np.kron(~dark, square))
        self.image.paste(symbol, [self.dots(value) for value in at])

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
        place = [self.dots(value) for value in at]
        font = face(words, size, bold, self.grid * self._over)
        self._draw.text(place, words, font=font, fill=ink, anchor=anchor)


@lru_cache(maxsize=256)
def _font(family: str, dots: int, bold: bool) -> ImageFont.FreeTypeFont:
    return truetype(family, dots, 700 if bold else 400)


PLAIN, WIDE = "Atkinson Hyperlegible", "Noto Sans"


def face(
    words: str, size: float, bold: bool = False, dots_per_mm: float = DOTS_PER_MM
) -> ImageFont.FreeTypeFont:
    """A font that has every letter of `words`; `size` is the em in mm.

    The plain one slashes its zero, which a code with both 0 and O needs; the wide one
    knows Greek and Cyrillic and stands in where an engraved name needs them.
    """
    family = PLAIN if knows(PLAIN, words) else WIDE
    return _font(family, round(size * dots_per_mm), bold)


@lru_cache(maxsize=1024)
def knows(family: str, words: str) -> bool:
    """Whether a font has every letter."""
    font = _font(family, 40, False)
    missing = bytes(font.getmask("\uffff"))
    return all(letter == " " or bytes(font.getmask(letter)) != missing for letter in words)


def printable(words: str) -> bool:
    """Whether one of the two fonts has every letter."""
    return knows(PLAIN, words) or knows(WIDE, words)


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
