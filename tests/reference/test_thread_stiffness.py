"""Stiffness of straight threads per width, n pi d^2/4 E.

Source: the formula, derived; modulus 10 GPa (polyester) and 193 GPa (wire) from memory. These are
upper bounds: crimp lowers them.
"""

import pytest

from frames.mechanics.cloth import stiffness_range, straight_stiffness

POLYESTER = [
    (43, 80, 2161.4),
    (61, 64, 1962.4),
    (77, 55, 1829.4),
    (90, 48, 1628.6),
    (120, 34, 1089.5),
    (140, 34, 1271.1),
]


@pytest.mark.parametrize(("count", "thread", "stiffness"), POLYESTER)
def test_polyester(count: int, thread: int, stiffness: float) -> None:
    assert straight_stiffness(count, thread, 10) == pytest.approx(stiffness, abs=0.1)


@pytest.mark.parametrize(("per_inch", "wire", "stiffness"), [(325, 28, 15206), (400, 23, 12628)])
def test_stainless(per_inch: int, wire: int, stiffness: float) -> None:
    assert straight_stiffness(per_inch / 2.54, wire, 193) == pytest.approx(stiffness, abs=1)


@pytest.mark.parametrize(("count", "thread", "stiffness"), POLYESTER)
def test_the_stated_range_holds_the_straight_thread(
    count: int, thread: int, stiffness: float
) -> None:
    stated = stiffness_range("polyester", count, thread)
    assert stated.low_n_per_cm < stiffness < stated.high_n_per_cm
