"""The estimate of a screen: readings, turns, doubt and trust."""

from dataclasses import replace

import numpy as np
import pytest

from frames.mechanics import (
    Doubt,
    Layout,
    Mesh,
    Reading,
    State,
    Strip,
    after_readings,
    after_turns,
    begin,
    reset,
)

FRAME = Layout.evenly(1000, 800, 6, 5)
NINE = [(u, v) for v in (0.2, 0.5, 0.8) for u in (0.2, 0.5, 0.8)]


def fresh() -> State:
    return begin(Strip(FRAME, Mesh(1000, 1000)))


def read(field: np.ndarray) -> list[Reading]:
    return [Reading(u, v, float(x), float(y)) for (u, v), (x, y) in zip(NINE, field, strict=True)]


def tilted() -> np.ndarray:
    u, v = np.array(NINE).T
    return np.stack([10 + 2 * v, 12 - 2 * u], axis=1)


def test_readings_are_followed_within_the_meter() -> None:
    state = after_readings(fresh(), read(tilted()))
    assert np.abs(state.tension(NINE) - tilted()).max() < state.doubt.reading_sd


def test_repeated_readings_sharpen_the_estimate() -> None:
    once = after_readings(fresh(), read(tilted()))
    twice = after_readings(once, read(tilted()))
    assert np.all(twice.tension_sd(NINE) < once.tension_sd(NINE))


def test_doubt_grows_away_from_the_readings() -> None:
    state = after_readings(fresh(), [Reading(0.5, 0.5, 10.0, 10.0)])
    assert np.all(state.tension_sd([(0.1, 0.1)]) > 2 * state.tension_sd([(0.5, 0.5)]))


def test_update_equals_the_batch_least_squares_answer() -> None:
    """Kalman's step against the normal equations of the same prior and readings."""
    prior, rows = fresh(), read(tilted())
    state = after_readings(prior, rows)
    h = prior.rows(np.array(NINE))
    y = np.concatenate([tilted()[:, 0], tilted()[:, 1]])
    information = np.linalg.inv(prior.covariance) + h.T @ h / prior.doubt.reading_sd**2
    pull = np.linalg.solve(prior.covariance, prior.mean) + h.T @ y / prior.doubt.reading_sd**2
    np.testing.assert_allclose(state.mean, np.linalg.solve(information, pull), atol=1e-6)


def test_the_factor_is_learned_from_one_round() -> None:
    state = after_readings(fresh(), read(tilted()))
    turned = after_turns(state, np.full(FRAME.count, 2.0))
    driven = turned.strip.tension(NINE) @ turned.bar_mm
    state = after_readings(turned, read(tilted() + 0.7 * driven))
    assert state.factors == pytest.approx([0.7, 0.7], abs=0.12)


def test_a_round_takes_its_drift_and_adds_doubt() -> None:
    state = after_readings(fresh(), read(tilted()))
    later = after_turns(state, np.zeros(FRAME.count))
    lost = (state.tension(NINE) - later.tension(NINE)).mean(axis=0)
    assert lost == pytest.approx(state.doubt.drift * np.array([11, 11]), rel=0.1)
    assert np.all(later.tension_sd(NINE) > state.tension_sd(NINE))


def test_one_wrong_reading_is_named() -> None:
    field = tilted()
    field[4, 0] += 6
    state = after_readings(after_turns(after_readings(fresh(), read(tilted())), {}), read(field))
    assert state.surprise.worst_row == 8
    assert state.surprise.message.startswith("The middle does not fit the other readings")
    assert not state.trusted


def test_turns_nobody_logged_are_noticed_and_the_next_plan_is_smaller() -> None:
    state = after_turns(after_readings(fresh(), read(tilted())), np.zeros(FRAME.count))
    state = after_readings(state, read(tilted() + 4))
    assert "not logged" in state.surprise.message
    assert not state.trusted
    assert state.caution == 0.5
    assert np.abs(state.tension(NINE) - tilted() - 4).max() < 0.6  # the readings win


def test_expected_readings_raise_no_alarm() -> None:
    state = after_readings(fresh(), read(tilted()))
    state = after_readings(after_turns(state, np.zeros(FRAME.count)), read(tilted() * 0.985))
    assert state.surprise.message == ""
    assert state.trusted


def test_stand_out_resets_the_bars_and_keeps_the_tension() -> None:
    state = replace(after_readings(fresh(), read(tilted())), trusted=False)
    measured = reset(state, {"A1": 8.0, "A6": 7.0, "B1": 5.0, "B3": 5.5, "B5": 5.0}, 3.0)
    assert measured.trusted
    assert measured.bar_mm[:6] == pytest.approx(np.linspace(5, 4, 6), abs=1e-5)
    np.testing.assert_allclose(measured.tension(NINE), state.tension(NINE), atol=0.1)


def test_state_is_never_negative_definite_after_many_rounds() -> None:
    state = begin(Strip(FRAME, Mesh(1000, 1000)), doubt=Doubt(restless=0.0))
    for _ in range(30):
        state = after_readings(after_turns(state, np.full(FRAME.count, 0.1)), read(tilted()))
    assert np.linalg.eigvalsh(state.covariance).min() > -1e-10


def test_nothing_read_changes_nothing() -> None:
    state = fresh()
    assert after_readings(state, []) is state


def contradicted(times: int) -> State:
    """The whole frame read slack and tight in turn, with turns in between that cannot be."""
    state = fresh()
    for round in range(times):
        value = (0.001, 150.0)[round % 2]
        spots = [(0.5, 0.5)] * 20 + [(0.2, 0.2), (0.8, 0.8)]
        state = after_readings(state, [Reading(u, v, value, 150 - value) for u, v in spots])
        state = after_turns(state, dict.fromkeys(FRAME.names, (10.0, -10.0)[round % 3 > 1]))
    return state


def test_contradictions_never_grow_beyond_reckoning() -> None:
    state = contradicted(60)
    assert np.isfinite(state.mean).all()
    assert np.abs(state.bar_mm).max() <= 200
    assert np.sqrt(np.diag(state.covariance)).max() < 1e5
    later = after_readings(state, [Reading(0.5, 0.5, 20.0, 20.0)])
    assert later.tension([(0.5, 0.5)])[0] == pytest.approx([20, 20], abs=1)


def test_what_is_widened_is_no_wider_than_before_any_reading_by_much() -> None:
    """Twice the same spot, 150 N/cm apart: one of the two is wrong, and the doubt stays finite."""
    state = fresh()
    for _ in range(10):
        readings = [Reading(0.5, 0.5, value, value) for value in (0.001, 150.0)]
        state = after_readings(state, readings)
    first = np.sqrt(np.diag(fresh().covariance))
    assert (np.sqrt(np.diag(state.covariance)) <= 30 * first * (1 + 1e-9)).all()
