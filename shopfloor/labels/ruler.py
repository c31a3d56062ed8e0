"""The 50 mm ruler at the foot of every page: it shows whether the printer kept the size."""

from frames.wording import say

from .ink import Ink, width
from .stocks import Stock

RULER_MM = 50.0
_CLEAR = 5.0  # what no desktop printer prints on at the foot: common practice, no source


def ruler(ink: Ink, stock: Stock, folio: str = "") -> None:
    """Draw the ruler, its words and the page number below the last row of labels."""
    w, h = stock.page_size
    base = h - _CLEAR
    left = 12.0
    ink.line((left, base), (left + RULER_MM, base), 0.2)
    for mm in range(int(RULER_MM) + 1):
        tall = 3.0 if mm % 10 == 0 else 2.0 if mm % 5 == 0 else 1.2
        ink.line((left + mm, base - tall), (left + mm, base), 0.15)
    said = say("50 mm at true size: print at 100 %")
    ink.text((left + RULER_MM + 3.0, base), said, 2.8)
    ink.text((w - 12.0 - width(folio, 2.8), base), folio, 2.8)
