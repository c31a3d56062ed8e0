"""A bar of 240 in on 15 springs, the closest published likeness of a bar on bolts.

Source: McGuire, Gallagher and Ziemian, Matrix Structural Analysis, 2nd ed., Example 4.15, as quoted
in https://github.com/JWock82/Pynite Testing/test_spring_support.py, which allows 5 % because the
book treats the springs as a foundation. The exact figures come from the discrete springs.
Units kip and inch.
"""

import numpy as np
import pytest

from frames.mechanics.beam import BeamAnswer, bend

FOUNDATION = 0.05
MIDDLE = 8


@pytest.fixture(scope="module")
def bar() -> BeamAnswer:
    springs = dict.fromkeys(range(1, 16), 22.5)
    return bend(
        np.linspace(0, 240, 17), 29000 * 128.5, {0: 0, 16: 0}, springs, point_loads={MIDDLE: -40}
    )


def test_deflection_in_the_book(bar: BeamAnswer) -> None:
    assert bar.deflection[MIDDLE] == pytest.approx(-0.238, rel=FOUNDATION)


def test_moment_in_the_book(bar: BeamAnswer) -> None:
    assert bar.moment[MIDDLE] == pytest.approx(547, rel=FOUNDATION)


def test_deflection_exactly(bar: BeamAnswer) -> None:
    assert bar.deflection[MIDDLE] == pytest.approx(-0.246268, abs=1e-5)


def test_moment_exactly(bar: BeamAnswer) -> None:
    assert bar.moment[MIDDLE] == pytest.approx(546.6373, abs=1e-3)


def test_end_held_down(bar: BeamAnswer) -> None:
    assert bar.reaction[0] == pytest.approx(-2.550688, abs=1e-5)
