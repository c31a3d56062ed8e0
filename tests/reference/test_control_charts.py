"""Worked control charts.

Piston rings, 25 groups of 5: output printed in the vignette of a general-purpose package,
https://github.com/luca-scr/qcc docs/articles/qcc.html. Flow rate, individuals and moving range:
NIST/SEMATECH e-Handbook of Statistical Methods 6.3.2.2; moving average that forgets: 6.3.2.4 (both
from memory, arithmetic verified).
"""

import pytest

from frames.mechanics.charts import c4, ewma, factors, individuals, run_rules

FLOW = [49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1]
WEIGHED = "52.0 47.0 53.0 49.3 50.1 47.0 51.0 50.1 51.2 50.5 49.6 47.6 49.9 51.3 47.8 51.2 52.6"
LAST_THREE = "52.4 53.6 52.1"
ROUNDED_D2 = 0.003  # the handbook takes d2 = 1.128


def test_limits_of_the_mean_of_piston_rings() -> None:
    reach = factors(5)["A2"] * 0.02276
    assert 74.00118 - reach == pytest.approx(73.98805, abs=1e-5)
    assert 74.00118 + reach == pytest.approx(74.0143, abs=5e-5)


def test_spread_of_piston_rings() -> None:
    assert 0.02276 / factors(5)["d2"] == pytest.approx(0.009785039, abs=1e-6)
    assert factors(5)["D4"] * 0.02276 == pytest.approx(0.04812533, abs=2e-6)
    assert factors(5)["B4"] * 0.009240037 == pytest.approx(0.01930242, abs=1e-7)
    assert 0.009240037 / c4(5) == pytest.approx(0.009829977, abs=1e-8)


def test_individuals_and_moving_range_of_a_flow_rate() -> None:
    chart = individuals(FLOW)
    assert chart.centre == pytest.approx(50.81)
    assert chart.mean_range == pytest.approx(1.8778, abs=1e-4)
    assert chart.high == pytest.approx(55.8041, abs=ROUNDED_D2)
    assert chart.low == pytest.approx(45.8159, abs=ROUNDED_D2)
    assert chart.signals == ()


@pytest.mark.parametrize(
    ("z", "name"),
    [
        ([0, 0.5, -3.1], "one point beyond 3 sigma"),
        ([0.2] * 9, "nine points in a row on one side of the centre"),
        ([-0.5, -0.3, -0.1, 0.1, 0.3, 0.5], "six points in a row rising or falling"),
        ([0.4, -0.4] * 7, "fourteen points in a row alternating up and down"),
        ([2.1, 0.5, 2.2], "two of three points beyond 2 sigma on one side"),
        ([1.1, 1.2, -0.5, 1.3, 1.1], "four of five points beyond 1 sigma on one side"),
        ([0.5, 0.3, -0.4] * 5, "fifteen points in a row within 1 sigma"),
        ([1.5, -1.5, 1.2, 1.7, -1.1, -1.4, 1.3, -1.6], "eight points in a row beyond 1 sigma"),
    ],
)
def test_each_run_rule_speaks_at_its_last_point(z: list[float], name: str) -> None:
    """Eight tests for special causes: L. Nelson, Journal of Quality Technology 16, 1984 (from
    memory)."""
    spoken = run_rules(z)
    assert any(index == len(z) - 1 and said.startswith(name) for index, said in spoken)
    assert not any(said.startswith(name) for _, said in run_rules(z[:-1]))


def test_pooled_repeatability() -> None:
    """Sum of squares and degrees of freedom: NIST/SEMATECH e-Handbook 2.4.4,
    http://www.itl.nist.gov/div898/handbook/mpc/section4/mpc444.htm."""
    from frames.mechanics.meter import from_squares

    assert from_squares(3.17635, 300)[0] == pytest.approx(0.102897, abs=1e-5)


def test_a_moving_average_that_forgets() -> None:
    values = [float(word) for word in f"{WEIGHED} {LAST_THREE}".split()]
    smoothed = ewma(values, centre=50, sigma=2.0539, weight=0.3)
    assert smoothed.high == pytest.approx(52.5884, abs=1e-4)
    assert smoothed.low == pytest.approx(47.4115, abs=2e-4)
    assert smoothed.values[-1] == pytest.approx(51.99, abs=0.005)
    assert smoothed.beyond == ()
