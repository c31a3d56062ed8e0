"""A part of the trial in every run: forecasts on screens that relax by other laws.

More: python -m tests.mechanics.trial_forecast 12 50. Seeds are fixed, so nothing here is luck; the
margins leave room for changes of the model, about two standard errors of a share among 300.
"""

import pytest

from .trial_forecast import Scores, trial

MARGIN = 0.05


@pytest.fixture(scope="module")
def scores() -> Scores:
    return trial(shops=6, screens=50)


@pytest.mark.parametrize("ahead_h", [24.0, 168.0, 720.0])
def test_nearer_than_the_simple_rules(scores: Scores, ahead_h: float) -> None:
    ours = scores.mean("errors", "forecast", ahead_h)
    assert ours < scores.mean("errors", "last reading", ahead_h)
    assert ours < 0.75 * scores.mean("errors", "straight line", ahead_h)


@pytest.mark.parametrize("ahead_h", [24.0, 168.0, 720.0])
@pytest.mark.parametrize("share", [0.8, 0.95])
def test_bands_hold_what_they_say(scores: Scores, share: float, ahead_h: float) -> None:
    assert scores.mean("hits", share, ahead_h) == pytest.approx(share, abs=MARGIN)


def test_a_month_ahead_within_two_thirds_of_a_newton(scores: Scores) -> None:
    assert scores.mean("errors", "forecast", 720.0) < 0.67


def test_jumps_are_found_and_seldom_cried_falsely(scores: Scores) -> None:
    assert scores.jumps > 20
    assert scores.found > 0.85 * scores.jumps
    assert scores.false_alarms < 0.003 * scores.checks
