"""Label stocks, told by their measures alone: page, grid, label, margins, gaps (mm)."""

from collections.abc import Iterator
from dataclasses import dataclass

from frames.wording import mark, say, written

from .problems import LabelProblem

# ISO 216 A4; US Letter is 8.5 x 11 in.
PAGES = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}


@dataclass(frozen=True)
class Box:
    """A rectangle on the page: left and top edge, width and height, in mm."""

    x: float
    y: float
    w: float
    h: float

    def inset(self, by: float) -> "Box":
        return Box(self.x + by, self.y + by, self.w - 2 * by, self.h - 2 * by)


@dataclass(frozen=True)
class Stock:
    """A sheet of equal labels; every measure in mm.

    `left` and `top` reach from the page edge to the first label, `gap_x` and `gap_y`
    lie between neighbours. `to_cut` marks a plain sheet that the shop cuts itself.
    """

    key: str
    page: str
    columns: int
    rows: int
    label_w: float
    label_h: float
    left: float
    top: float
    gap_x: float = 0.0
    gap_y: float = 0.0
    to_cut: bool = False

    @property
    def cells(self) -> int:
        return self.columns * self.rows

    @property
    def page_size(self) -> tuple[float, float]:
        return PAGES[self.page]

    @property
    def title(self) -> str:
        size = f"{written(self.label_w, 'g')} × {written(self.label_h, 'g')} mm"
        of = mark("{0}, {1} × {2} labels of {3}")
        if self.to_cut:
            of = mark("{0}, plain sheet to cut, {1} × {2} labels of {3}")
        return say(of, self.page, self.columns, self.rows, size)

    def cell(self, number: int) -> Box:
        """The label with this number, counted from 1, left to right and then down."""
        row, column = divmod(number - 1, self.columns)
        x = self.left + column * (self.label_w + self.gap_x)
        y = self.top + row * (self.label_h + self.gap_y)
        return Box(x, y, self.label_w, self.label_h)

    def boxes(self) -> Iterator[Box]:
        return (self.cell(number) for number in range(1, self.cells + 1))


# Sizes sold everywhere for laser printers: common practice, no source. Every one leaves a
# margin at the foot that holds the ruler. Labels up to 38 mm high fit a wall of 40 mm.
_ALL = (
    Stock("a4-14", "A4", 2, 7, 99.1, 38.1, 4.65, 15.15, gap_x=2.6),
    Stock("a4-21", "A4", 3, 7, 63.5, 38.1, 7.25, 15.15, gap_x=2.5),
    Stock("a4-16", "A4", 2, 8, 99.1, 33.9, 4.65, 12.9, gap_x=2.6),
    Stock("a4-8", "A4", 2, 4, 99.1, 67.7, 4.65, 13.1, gap_x=2.6),
    Stock("a4-cut-12", "A4", 2, 6, 92.0, 42.0, 13.0, 22.5, to_cut=True),
    Stock("letter-14", "Letter", 2, 7, 101.6, 33.85, 3.95, 21.2, gap_x=4.8),
    Stock("letter-10", "Letter", 2, 5, 101.6, 50.8, 3.95, 12.7, gap_x=4.8),
    Stock("letter-30", "Letter", 3, 10, 66.7, 25.4, 4.75, 12.7, gap_x=3.15),
    Stock("letter-6", "Letter", 2, 3, 101.6, 84.65, 3.95, 12.7, gap_x=4.8),
    Stock("letter-cut-12", "Letter", 2, 6, 92.0, 38.0, 15.95, 25.7, to_cut=True),
)
STOCKS: dict[str, Stock] = {stock.key: stock for stock in _ALL}
# The shorter names mean the usual stock of that page.
USUAL = {"A4": "a4-14", "Letter": "letter-14"}


def stock_of(key: str) -> Stock:
    """The stock with this key, or the usual one of a page ("A4", "Letter")."""
    found = STOCKS.get(USUAL.get(key, key))
    if found is None:
        raise LabelProblem("stock", key, say("choose one of {0}", ", ".join(STOCKS)))
    return found
