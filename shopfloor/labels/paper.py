"""A page to be read and written on: words, lines and tables placed in millimetres."""

from collections.abc import Sequence
from io import BytesIO

import fontpkg
from PIL import Image

from .ink import PLAIN, WIDE, knows
from .stocks import Box
from .symbol import QUIET, Symbol

POINTS_PER_MM = 72 / 25.4
THIN, MIDDLE, THICK = 0.15, 0.3, 0.6
INK, SOFT, FAINT = 20, 95, 215  # grey, 0 black
CAPS = 0.68  # height of capitals in ems, of the plain font


class Paper:
    """A PDF whose sizes are all in mm; `size` of words is their em in mm."""

    def __init__(self, w: float, h: float, title: str) -> None:
        from fpdf import FPDF  # slow to import, and a server starts without a sheet

        self.pdf = FPDF(unit="mm", format=(w, h))
        self.pdf.set_auto_page_break(False)
        self.pdf.set_margin(0)
        self.pdf.c_margin = 0
        self.pdf.set_title(title)
        self.pdf.set_creator("Tautbook")
        for style, weight in (("", 400), ("B", 700)):
            self.pdf.add_font("plain", style, fontpkg.path(PLAIN, weight))
        self._has_wide = False

    def page(self) -> None:
        self.pdf.add_page()

    def bytes(self) -> bytes:
        return bytes(self.pdf.output())

    def _know(self, words: str) -> None:
        """The wide font stands in for letters of other alphabets; it is large, so only then."""
        if not self._has_wide and not knows(PLAIN, words):
            self.pdf.add_font("wide", "", fontpkg.path(WIDE))
            self.pdf.set_fallback_fonts(["wide"], exact_match=False)
            self._has_wide = True

    def font(self, size: float, bold: bool = False, grey: int = INK) -> None:
        self.pdf.set_font("plain", "B" if bold else "", size * POINTS_PER_MM)
        self.pdf.set_text_color(grey)

    def width(self, words: str, size: float, bold: bool = False) -> float:
        self._know(words)
        self.font(size, bold)
        return self.pdf.get_string_width(words)

    def text(
        self,
        x: float,
        y: float,
        words: str,
        size: float,
        *,
        bold: bool = False,
        align: str = "left",
        grey: int = INK,
        room: float | None = None,
    ) -> None:
        """Words with their baseline at `y`, cut with an ellipsis where `room` ends."""
        if room is not None:
            words = self.cut(words, size, room, bold)
        self._know(words)
        part = {"left": 0.0, "middle": 0.5, "right": 1.0}[align]
        x -= part * self.width(words, size, bold) if part else 0
        self.font(size, bold, grey)
        # `text` knows no fallback fonts, a cell does; its baseline lies where the font puts it
        self.pdf.set_xy(x, y - size * 0.8)
        self.pdf.cell(0.01, size, words)

    def fitting(self, words: str, size: float, smallest: float, room: float) -> float:
        """The largest size up to `size` at which the words fit, but no smaller than that."""
        return max(min(size, size * room / (self.width(words, size) or room)), smallest)

    def cut(self, words: str, size: float, room: float, bold: bool = False) -> str:
        if self.width(words, size, bold) <= room:
            return words
        while words and self.width(f"{words}…", size, bold) > room:
            words = words[:-1]
        return f"{words.rstrip()}…"

    def lines(self, words: str, size: float, room: float, most: int) -> list[str]:
        """The words in at most `most` lines no wider than `room`."""
        out: list[str] = []
        for word in words.split():
            longer = f"{out[-1]} {word}" if out else word
            if out and self.width(longer, size) <= room:
                out[-1] = longer
            else:
                out.append(word)
        kept = out[:most]
        if len(out) > most:
            kept[-1] = f"{kept[-1]} …"
        return [self.cut(line, size, room) for line in kept]

    def line(self, a: tuple[float, float], b: tuple[float, float], width: float = THIN) -> None:
        self.pdf.set_draw_color(INK)
        self.pdf.set_line_width(width)
        self.pdf.line(*a, *b)

    def rule(self, x: float, y: float, w: float, grey: int = FAINT) -> None:
        self.pdf.set_draw_color(grey)
        self.pdf.set_line_width(THIN)
        self.pdf.line(x, y, x + w, y)

    def outline(self, box: Box, width: float = MIDDLE, grey: int = INK, radius: float = 0) -> None:
        self.pdf.set_draw_color(grey)
        self.pdf.set_line_width(width)
        corners: dict = {"round_corners": True, "corner_radius": radius} if radius else {}
        self.pdf.rect(box.x, box.y, box.w, box.h, "D", **corners)

    def fill(self, box: Box, grey: int) -> None:
        self.pdf.set_fill_color(grey)
        self.pdf.rect(box.x, box.y, box.w, box.h, "F")

    def disc(self, x: float, y: float, radius: float, grey: int = INK) -> None:
        self.pdf.set_fill_color(grey)
        self.pdf.circle(x, y, radius, "F")

    def symbol(self, made: Symbol, box: Box) -> None:
        """A QR symbol that fills the box with its quiet zone; square modules, no smoothing."""
        module = box.w / made.across
        picture = Image.fromarray(~made.modules).resize(
            [len(made.modules) * 8] * 2, Image.Resampling.NEAREST
        )
        out = BytesIO()
        picture.save(out, "PNG")
        inside = module * len(made.modules)
        at = QUIET * module
        self.pdf.image(out, box.x + at, box.y + at, inside, inside)

    def table(
        self,
        at: tuple[float, float],
        columns: Sequence[tuple[str, float, str]],
        rows: Sequence[Sequence[str]],
        pitch: float,
        size: float = 3.0,
    ) -> float:
        """Columns of heading, width and alignment over rows; returns where the table ends."""
        x, y = at
        wide = sum(width for _, width, _ in columns)
        for row, cells in enumerate([[name for name, _, _ in columns], *rows]):
            self._row(x, y + row * pitch, columns, cells, pitch, size, heading=row == 0)
            below = y + (row + 1) * pitch
            self.rule(x, below, wide, INK if row == 0 else FAINT)
        return y + (len(rows) + 1) * pitch

    def _row(
        self,
        x: float,
        y: float,
        columns: Sequence[tuple[str, float, str]],
        cells: Sequence[str],
        pitch: float,
        size: float,
        *,
        heading: bool,
    ) -> None:
        base = y + pitch / 2 + size * CAPS / 2
        grey = SOFT if heading else INK
        for (_, width, align), words in zip(columns, cells, strict=True):
            pad = 0.8
            at = {"left": x, "right": x + width - pad, "middle": x + width / 2}[align]
            self.text(at, base, words, size, align=align, grey=grey, room=width - pad)
            x += width
