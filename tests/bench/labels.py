"""Labels per second, ready to print, against the bare QR symbols of the same addresses."""

from collections.abc import Iterator

import qrcode

from shopfloor.labels import sheet
from tests.bench.timing import Row, seconds
from tests.labels.printed import ORIGIN, frames

FRAMES = 100


def rows() -> Iterator[Row]:
    made = frames(FRAMES)
    taken = seconds(lambda: sheet(made, stock="A4", origin=ORIGIN))
    bare = seconds(lambda: [_symbol(frame.code) for frame in made for _ in "AC"])
    labels = 2 * FRAMES
    yield Row(
        f"{labels} labels on A4 as PDF, against their bare QR symbols",
        f"{labels / taken:,.0f} labels/s",
        taken / bare,
    )


def _symbol(code: str) -> None:
    symbol = qrcode.QRCode()
    symbol.add_data(f"{ORIGIN}/F/{code}".upper())
    symbol.make_image()
