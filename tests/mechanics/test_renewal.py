"""When to take a mesh off in time: against the condition of the optimum, and a simulated shop."""

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.optimize import brentq

from frames.mechanics import InputFault, best_age, weibull_life

CASES = [(1.5, 1000, 50, 400), (2.0, 12000, 40, 90), (3.0, 1000, 50, 200), (6.0, 5000, 60, 100)]


def age_of_least_cost(shape: float, scale: float, planned: float, burst: float) -> float:
    """Where h(T) x integral of S up to T - F(T) = planned / (burst - planned): the published
    condition, see `frames.mechanics.renewal`."""

    def lives(t: float) -> float:
        return float(np.exp(-((t / scale) ** shape)))

    def left(t: float) -> float:
        hazard = shape / scale * (t / scale) ** (shape - 1)
        return hazard * quad(lives, 0, t)[0] - (1 - lives(t)) - planned / (burst - planned)

    return brentq(left, 1e-3 * scale, 20 * scale)


@pytest.mark.parametrize("case", CASES)
def test_the_age_meets_the_condition(case: tuple[float, ...]) -> None:
    assert best_age(*case).age == pytest.approx(age_of_least_cost(*case), rel=0.02)


@pytest.mark.parametrize("case", CASES)
def test_its_cost_is_what_a_simulated_shop_pays(case: tuple[float, ...]) -> None:
    shape, scale, planned, burst = case
    found = best_age(*case)
    lives = scale * np.random.default_rng(3).weibull(shape, 200_000)
    paid = np.where(lives < found.age, burst, planned).sum() / np.minimum(lives, found.age).sum()
    assert found.best == pytest.approx(paid, rel=0.01)
    assert found.left == pytest.approx(burst / lives.mean(), rel=0.01)


@pytest.mark.parametrize("shape", [0.7, 1.0])
def test_a_mesh_that_does_not_age_is_left_until_it_bursts(shape: float) -> None:
    assert best_age(shape, 1000, 50, 500).age is None


def test_a_burst_that_costs_no_more_is_waited_for() -> None:
    assert best_age(3.0, 1000, 50, 50).age is None


def test_the_fitted_life_is_the_one_that_was_drawn() -> None:
    r = np.random.default_rng(5)
    lives, looked = 8000 * r.weibull(2.5, 3000), r.uniform(2000, 16000, 3000)
    shape, scale = weibull_life(np.minimum(lives, looked), lives <= looked)
    assert shape == pytest.approx(2.5, rel=0.05)
    assert scale == pytest.approx(8000, rel=0.03)


def test_nothing_is_said_of_four_bursts() -> None:
    assert weibull_life([10, 20, 30, 40, 50], [True, True, True, True, False]) is None


def test_a_burst_cheaper_than_a_planned_mesh_is_refused() -> None:
    with pytest.raises(InputFault, match="burst"):
        best_age(2, 1000, 50, 40)
