"""Repeatability and reproducibility: ten parts, three people, three trials, by average and range.

Source of formulas and constants:
http://gagerandr.com/wp-content/uploads/2014/09/VariableRandR_Xbar.htm (its number of classes has a
wrong square root and is not used); the figures are the AIAG example, from memory, recomputed.
By analysis of variance: expected values in the tests of a general-purpose statistics package,
https://github.com/jasp-stats/jaspQualityControl tests/testthat/test-msaGaugeRR.R
"""

import numpy as np
import pytest

from frames.mechanics.gauge import Gauge, Squares, by_variance, from_ranges, from_variance


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


@pytest.mark.parametrize(
    ("name", "variance"),
    [
        ("repeatability", 0.134544159544159),
        ("reproducibility", 0.0233855650522318),
        ("both", 0.157929724596391),
        ("places", 10.8561068903661),
        ("total", 11.0140366149625),
    ],
)
def test_by_analysis_of_variance(name: str, variance: float) -> None:
    places, people = Squares(9 * 97.8395061728395, 9), Squares(2 * 0.836111111111114, 2)
    mixed, repeat = Squares(2.82777777777778, 18), Squares(7.66666666666667, 60)
    found = from_variance(places, people, mixed, repeat, trials=3)
    assert getattr(found, name) ** 2 == pytest.approx(variance, abs=1e-9)


def test_standard_deviation_by_analysis_of_variance() -> None:
    places, people = Squares(9 * 97.8395061728395, 9), Squares(2 * 0.836111111111114, 2)
    mixed, repeat = Squares(2.82777777777778, 18), Squares(7.66666666666667, 60)
    found = from_variance(places, people, mixed, repeat, trials=3)
    assert found.both == pytest.approx(0.397403729972922, abs=1e-9)


def left_over(columns: list[np.ndarray], y: np.ndarray) -> float:
    """Sum of squares that columns leave of y, by a general least-squares routine."""
    x = np.stack([column.ravel().astype(float) for column in columns], axis=1)
    return float(((y - x @ np.linalg.lstsq(x, y, rcond=None)[0]) ** 2).sum())


def test_squares_of_readings_are_those_of_nested_regressions() -> None:
    """People differ by place beyond chance here, so that it counts to the people."""
    rng = np.random.default_rng(5)
    r = rng.normal(0, 0.2, (3, 6, 2)) + rng.normal(0, 2, (6, 1)) + rng.normal(0, 1, (3, 6, 1))
    who, at, _ = np.indices(r.shape)
    ones = [np.ones(r.shape)]
    people, places = [who == i for i in range(3)], [at == j for j in range(6)]
    cells = [person & place for person in people for place in places]
    lost = [left_over(c, r.ravel()) for c in (ones + places, ones + places + people, cells)]
    person, mixed, rest = (lost[0] - lost[1]) / 2, (lost[1] - lost[2]) / 10, lost[2] / 18
    found = by_variance(r)
    hand = max(person - mixed, 0) / 12 + (mixed - rest) / 2
    assert found.repeatability**2 == pytest.approx(rest, rel=1e-9)
    assert found.reproducibility**2 == pytest.approx(hand, rel=1e-9)
