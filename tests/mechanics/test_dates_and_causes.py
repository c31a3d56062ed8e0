"""Dates drawn from the forecast, causes of jumps, charts of residuals, zeros of meters."""

import numpy as np
import pytest

from frames.mechanics import (
    InputFault,
    Outlook,
    Seen,
    Segment,
    Shift,
    Signs,
    before_any_log,
    forecast,
    individuals,
    likely_causes,
    outlook,
    residuals,
    zero_history,
)
from frames.mechanics.dates import When

FRESH = [(0.2, 23.4), (1, 22.8)]
SETTLED = [*FRESH, (20, 21.9), (200, 21.3), (700, 21.0)]


def told(points: list[tuple[float, float]], now_h: float, tolerance: float = 1.5) -> Outlook:
    s = Segment("90-48", 22, 0, [Seen(t, v, 0.3) for t, v in points])
    return outlook(forecast(s, before_any_log()), now_h, tolerance)


def in_order(when: When) -> bool:
    ends = [np.inf if h is None else h for h in (when.early, when.expected, when.late)]
    return ends == sorted(ends)


def test_every_date_lies_within_its_band() -> None:
    for points, now in ((FRESH, 1.1), (SETTLED, 710)):
        o = told(points, now)
        for when in (o.resting_until, o.coat_from, o.in_tolerance_until, o.impressions_left):
            assert in_order(when)
            assert when.reason.endswith(".")


def test_a_fresh_mesh_rests_and_a_settled_one_does_not() -> None:
    fresh, settled = told(FRESH, 1.1), told(SETTLED, 710)
    assert fresh.resting_until.expected > 1.1
    assert fresh.day_costs > 0.5 > settled.day_costs
    assert settled.resting_until.expected < 710


def test_a_day_costs_its_limit_at_the_end_of_the_rest() -> None:
    s = Segment("90-48", 22, 0, [Seen(t, v, 0.3) for t, v in FRESH])
    found = forecast(s, before_any_log())
    end = outlook(found, 1.1, 1.5).resting_until.expected
    mean = found.ahead([end, end + 24], noise_sd=0).mean
    assert mean[0] - mean[1] == pytest.approx(0.5, abs=0.12)  # the grid's step and small wander


def test_coating_waits_for_the_rest_and_half_an_hour() -> None:
    o = told(SETTLED, 710)
    assert o.coat_from.expected >= max(o.resting_until.expected, 0.5)


def test_tension_at_the_end_of_tolerance_is_the_limit() -> None:
    s = Segment("90-48", 22, 0, [Seen(t, v, 0.3) for t, v in SETTLED])
    found = forecast(s, before_any_log())
    until = outlook(found, 710, 1.3).in_tolerance_until.expected
    assert found.ahead([until], noise_sd=0).mean[0] == pytest.approx(20.7, abs=0.05)


def test_a_low_spot_brings_the_date_forward() -> None:
    s = Segment("90-48", 22, 0, [Seen(t, v, 0.3) for t, v in SETTLED])
    found = forecast(s, before_any_log())
    even, low = outlook(found, 710, 1.5), outlook(found, 710, 1.5, lowest_spot_below=0.4)
    assert low.retension_by.expected < even.retension_by.expected
    assert low.impressions_left.expected < even.impressions_left.expected


def test_already_low_is_said_at_once() -> None:
    o = told(SETTLED, 710, tolerance=0.5)
    assert o.in_tolerance_until.expected == 710
    assert "already" in o.in_tolerance_until.reason
    assert o.impressions_left.expected == 0


def test_a_tolerance_of_nothing_is_refused() -> None:
    with pytest.raises(InputFault, match="tolerance_n_per_cm"):
        told(FRESH, 1.1, tolerance=0.0)


@pytest.mark.parametrize(
    ("shift", "signs", "first"),
    [
        (Shift(4, -4, True), Signs(), "lock_slipped"),
        (Shift(4, -4, True), Signs(worst_beyond_mean=3), "lock_slipped"),
        (Shift(4, -4, True), Signs(meter_changed=True), "wrong_meter"),
        (Shift(4, -4, None), Signs(meter_off=True), "wrong_meter"),
        (Shift(4, 4, True), Signs(), "unlogged_turn"),
        (Shift(4, 4, False), Signs(), "wrong_frame"),
        (Shift(4, -4, True), Signs(stencil_differs=True, label_scanned=True), "wrong_frame"),
        (Shift(4, 4, False), Signs(label_scanned=True), "wrong_meter"),
    ],
)
def test_the_likeliest_cause(shift: Shift, signs: Signs, first: str) -> None:
    """Common practice, no source."""
    assert likely_causes(shift, signs)[0] == first


def test_a_relaxing_mesh_charts_flat() -> None:
    """Its raw tension trends; what departs from the curve does not."""
    hours = [0.2, 1, 5, 20, 60, 120, 200, 320, 480, 700]
    values = [23.3 - 0.35 * float(np.log1p(30 * h)) for h in hours]
    s = Segment("90-48", 22, 0, [Seen(h, v, 0.3) for h, v in zip(hours, values, strict=True)])
    raw = {name for _, name in individuals(values).signals}
    assert "six points in a row rising or falling" in raw
    assert np.all(np.abs(residuals(s, before_any_log())) < 1.5)


def test_a_meter_whose_zero_moves_steadily_drifts() -> None:
    history = zero_history([0, 10, 20, 30, 40], [-0.4, -0.2, 0.0, 0.15, 0.35])
    assert history.word == "drifts"
    assert history.low is not None
    assert history.per_30_days == pytest.approx(0.555, abs=0.01)
    assert zero_history([0, 5], [0.1, 0.2]).per_30_days is None
