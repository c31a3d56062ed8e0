"""The QR symbol against ISO/IEC 18004 (tables and format bits from memory)."""

import numpy as np
import pytest

from shopfloor.labels import LabelProblem
from shopfloor.labels.symbol import address, symbol
from tests.labels.printed import ORIGIN

# Alphanumeric characters a version holds, versions 1 to 6 (ISO/IEC 18004, capacity table).
HOLDS = {"Q": [16, 29, 47, 67, 87, 108], "H": [10, 20, 35, 50, 64, 84]}
LEVEL_BITS = {0b01: "L", 0b00: "M", 0b11: "Q", 0b10: "H"}


def format_information(modules: np.ndarray) -> int:
    """The fifteen format bits beside the upper left finder, unmasked, most significant first."""
    row = [modules[8, column] for column in (0, 1, 2, 3, 4, 5, 7, 8)]
    column = [modules[row, 8] for row in (7, 5, 4, 3, 2, 1, 0)]
    bits = int("".join("1" if dark else "0" for dark in row + column), 2)
    return bits ^ 0b101010000010010


def remainder(word: int) -> int:
    """What is left of fifteen bits after division by the format code's polynomial."""
    for place in range(14, 9, -1):
        if word >> place & 1:
            word ^= 0b10100110111 << (place - 10)
    return word


@pytest.mark.parametrize("length", range(14, 88))
def test_the_symbol_is_the_smallest_that_holds_the_address_at_q(length: int) -> None:
    made = symbol("HTTPS://X/F/".ljust(length, "A")[:length])
    least = next(v for v, most in enumerate(HOLDS["Q"], start=1) if length <= most)
    assert made.version == least
    assert len(made.modules) == 17 + 4 * least
    assert made.correction == ("H" if length <= HOLDS["H"][least - 1] else "Q")


@pytest.mark.parametrize("text", ["HTTPS://TAUTBOOK.SHOP.LAN/F/F0417-N", "HTTPS://X/F/F0417-N"])
def test_the_correction_printed_in_the_symbol_is_q_or_h(text: str) -> None:
    made = symbol(text)
    word = format_information(made.modules)
    assert remainder(word) == 0
    assert LEVEL_BITS[word >> 13] == made.correction
    assert made.correction in ("Q", "H")


def test_the_address_is_in_capitals_and_keeps_the_port() -> None:
    assert address("F0417-N", ORIGIN) == "HTTPS://TAUTBOOK.SHOP.LAN:8443/F/F0417-N"
    assert address("F0417-N", "http://localhost:8000/") == "HTTP://LOCALHOST:8000/F/F0417-N"


def test_capitals_make_the_symbol_smaller() -> None:
    text = address("F0417-N", ORIGIN)
    assert symbol(text).version < symbol(text.lower()).version


@pytest.mark.parametrize("origin", ["", "shop.lan", "ftp://shop.lan", "https://shop.lan/book"])
def test_an_origin_phones_cannot_open_is_refused(origin: str) -> None:
    with pytest.raises(LabelProblem) as told:
        address("F0417-N", origin)
    assert (told.value.field, told.value.value) == ("PUBLIC_ORIGIN", origin)
    assert "https://" in told.value.remedy
