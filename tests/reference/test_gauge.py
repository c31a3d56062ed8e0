"""Repeatability and reproducibility by average and range: ten parts, three people, three trials.

Source of formulas and constants:
http://gagerandr.com/wp-content/uploads/2014/09/VariableRandR_Xbar.htm (its number of classes has a
wrong square root and is not used); the figures are the AIAG example, from memory, recomputed.
"""

import pytest

from frames.mechanics.gauge import Gauge, from_ranges


@pytest.fixture(scope="module")
def example() -> Gauge:
    return from_ranges(0.3416667, 0.4446667, 3.5111111, 3, 10, 3)


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("repeatability", 0.20186),
        ("reproducibility", 0.22967),
        ("both", 0.30577),
        ("places", 1.1046),
        ("total", 1.14613),
    ],
)
def test_standard_deviations(example: Gauge, name: str, value: float) -> None:
    assert getattr(example, name) == pytest.approx(value, abs=1e-3)


def test_percent_of_total(example: Gauge) -> None:
    assert example.percent == pytest.approx(26.678, abs=0.01)


@pytest.mark.parametrize(
    ("name", "percent"),
    [("repeatability", 17.612), ("reproducibility", 20.038), ("places", 96.376)],
)
def test_percents_of_the_parts(example: Gauge, name: str, percent: float) -> None:
    assert 100 * getattr(example, name) / example.total == pytest.approx(percent, abs=0.01)


def test_classes_before_rounding(example: Gauge) -> None:
    assert 1.41 * example.places / example.both == pytest.approx(5.0937, abs=1e-3)


def test_classes_one_can_tell_apart(example: Gauge) -> None:
    assert example.classes == 5  # 1.41 x 1.1046 / 0.30577 = 5.09
