"""Load of the mesh on a frame side.

Source: https://screenprintingmag.com/the-screenframe-foundation-of-the-process/ (40 x 40 in and
60 x 80 in at 20 N/cm, in lbf, rounded there) and
https://workhorseproducts.com/how-to-use-a-tension-meter-effectively (100 cm at 10 N/cm).
"""

import pytest

from frames.mechanics.bolts import bolt_force_n

LBF = 4.4482216


@pytest.mark.parametrize(
    ("inches", "lbf", "rounding"), [(40, 456.8, 0.1), (80, 915, 2), (60, 685, 1)]
)
def test_side_load(inches: float, lbf: float, rounding: float) -> None:
    assert bolt_force_n(20, inches * 25.4) / LBF == pytest.approx(lbf, abs=rounding)


def test_side_of_one_metre() -> None:
    assert bolt_force_n(10, 1000) == pytest.approx(1000)
