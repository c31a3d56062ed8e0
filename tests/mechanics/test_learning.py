"""Factors learned from predicted and observed changes."""

import numpy as np
import pytest

from frames.mechanics import Factor, Observation, learn, predict_change

NOISE = 0.5


def logged(seed: int, factor: float, n: int, frame: str = "F1", mesh: str = "M1") -> list:
    r = np.random.default_rng(seed)
    predicted = r.uniform(0.5, 5, n)
    observed = factor * predicted + r.normal(0, NOISE, n)
    return [
        Observation(frame, mesh, "x", float(p), float(o), NOISE)
        for p, o in zip(predicted, observed, strict=True)
    ]


def test_nothing_logged_is_the_prior() -> None:
    assert learn([], "F1", "M1", "x") == Factor(1.0, 0.25, 0)


@pytest.mark.parametrize("factor", [0.6, 1.4])
def test_after_ten_plans_the_error_of_prediction_has_at_least_halved(factor: float) -> None:
    before = abs(factor - 1)
    after = [abs(learn(logged(s, factor, 10), "F1", "M1", "x").mean - factor) for s in range(200)]
    assert np.median(after) < before / 4
    assert np.quantile(after, 0.95) < before / 2


def test_bands_cover_what_they_say() -> None:
    """Frames drawn from the prior, 0 to 10 plans logged, next change against its 90 % band."""
    r = np.random.default_rng(1)
    hits, trials = 0, 3000
    for i in range(trials):
        true = 1 + r.normal(0, 0.25)
        factor = learn(logged(i, true, i % 11), "F1", "M1", "x")
        predicted = r.uniform(0.5, 5)
        _, low, high = predict_change(factor, predicted, NOISE)
        hits += low <= true * predicted + r.normal(0, NOISE) <= high
    assert 0.88 < hits / trials < 0.92


def test_a_new_frame_inherits_from_the_mesh_and_the_mesh_from_the_shop() -> None:
    log = [o for f in range(6) for o in logged(f, 0.6, 10, frame=f"F{f}")]
    same_mesh, other_mesh = learn(log, "F9", "M1", "x"), learn(log, "F9", "M2", "x")
    assert 0.6 < same_mesh.mean < 0.75
    assert same_mesh.mean < other_mesh.mean < 0.95
    assert same_mesh.sd < other_mesh.sd < 0.25


def test_bare_and_coated_and_the_quantities_are_apart() -> None:
    log = logged(0, 0.6, 10)
    assert learn(log, "F1", "M1", "x", coated=True).mean == 1.0
    assert learn(log, "F1", "M1", "y").mean == 1.0


def test_equals_the_textbook_posterior_for_one_frame() -> None:
    """Normal prior, normal noise: precision-weighted mean."""
    log = logged(3, 0.8, 5)
    p = np.array([o.predicted for o in log])
    y = np.array([o.observed for o in log])
    prior = 1 / (0.15**2 + 0.15**2 + 0.13**2)
    precision = prior + (p @ p) / NOISE**2
    found = learn(log, "F1", "M1", "x")
    assert found.mean == pytest.approx((prior + p @ y / NOISE**2) / precision)
    assert found.sd == pytest.approx(precision**-0.5)
    assert found.count == 5
