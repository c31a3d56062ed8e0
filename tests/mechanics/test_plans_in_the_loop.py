"""A few screens of the independent plant; the full trials are commands, see `trial_tension.py`."""

import numpy as np
import pytest

from tests.mechanics import (
    trial_bands,
    trial_false_alarms,
    trial_learning,
    trial_register,
    trial_rounds,
)
from tests.mechanics.closed_loop import Scores, run
from tests.mechanics.plant import LAYOUTS
from tests.mechanics.trial_tension import CASES, player

SMALL = LAYOUTS[:3]
SEEDS = (300, 301, 302)


def played(who: str, seeds: tuple[int, ...] = SEEDS, **case: object) -> Scores:
    plan, also_read = player(who)
    return run(plan, seeds, SMALL, rounds=4, also_read=also_read, **case)


@pytest.fixture(scope="module")
def ours() -> Scores:
    return played("ours")


@pytest.fixture(scope="module")
def told() -> Scores:
    return played("told")


@pytest.fixture(scope="module")
def by_hand() -> Scores:
    return played("hand")


def later(scores: Scores, kind: str) -> np.ndarray:
    """Scores from the second counted round on."""
    return scores.array(kind)[:, 1:]


def test_readings_come_into_tolerance_by_the_second_counted_round(ours: Scores) -> None:
    assert np.median(ours.array("readings")[:, 1]) < 1.0
    assert ours.array("readings")[:, 2:].max() < 1.5


def test_the_readings_are_closer_than_by_the_hand_rule(ours: Scores, by_hand: Scores) -> None:
    assert later(ours, "readings").mean() < 0.85 * later(by_hand, "readings").mean()


def test_between_the_readings_it_is_no_worse_than_the_hand_rule(
    ours: Scores, by_hand: Scores
) -> None:
    for kind in ("places", "margins", "spread"):
        assert later(ours, kind).mean() < 1.05 * later(by_hand, kind).mean(), kind


def test_reading_where_told_evens_the_places_between(told: Scores, by_hand: Scores) -> None:
    assert later(told, "places").mean() < 0.8 * later(by_hand, "places").mean()
    assert later(told, "spread").mean() < 0.8 * later(by_hand, "spread").mean()
    assert later(told, "margins").mean() < later(by_hand, "margins").mean()
    assert later(told, "readings").mean() < later(by_hand, "readings").mean()


def test_tension_stays_below_the_cap_on_the_way(ours: Scores, told: Scores) -> None:
    assert max(ours.array("largest").max(), told.array("largest").max()) < 32


@pytest.mark.parametrize("case", ["seized2", "hidden", "rough"])
def test_stuck_bolts_do_not_make_it_run_away(case: str) -> None:
    found = played("told", SEEDS[:2], **CASES[case])
    for kind in ("readings", "places"):
        assert np.all(found.array(kind)[:, -1] <= found.array(kind)[:, 0] + 1.0)
    assert found.array("largest").max() < 32


@pytest.mark.parametrize("places", ["five", "one"])
def test_few_readings_do(places: str) -> None:
    found, hand = (played(who, SEEDS[:2], places=places) for who in ("told", "hand"))
    assert later(found, "places").mean() < later(hand, "places").mean()


@pytest.mark.parametrize("count", [2, 3, 4, 6])
def test_register_comes_in_with_one_plan(count: int) -> None:
    found = [trial_register.one_screen(7, layout, count, 6) for layout in SMALL]
    for trial in found:
        assert trial.at_marks[1] < max(0.3 * trial.at_marks[0], 0.12)
        assert trial.at_marks[2] < max(0.3 * trial.at_marks[0], 0.12)
        assert trial.tension < 4.5
        if count > 2:  # two marks cannot tell what lies between
            assert trial.on_image[1] < 0.5 * trial.on_image[0]


def test_ten_logged_plans_halve_the_error_and_the_bands_hold() -> None:
    found = trial_learning.lessons((310, 311, 312), SMALL)
    assert np.mean(found.after) < 0.5 * np.mean(found.before)
    assert 0.85 <= np.mean(found.held) <= 0.95


def test_announced_bands_cover_what_they_say() -> None:
    share, count = trial_bands.coverage(3, LAYOUTS[:4], 300)
    assert count > 800
    assert 0.85 <= share <= 0.95


def test_pure_scatter_on_any_frame_gets_no_bolts() -> None:
    kinds = trial_false_alarms.kinds(400)
    assert set(kinds) <= {"leave", "press"}
    assert kinds["leave"] > 0.99 * 400


def test_the_first_round_announces_the_one_that_its_end_bolts_still_need() -> None:
    every = trial_rounds.announced(SEEDS[:2], SMALL)
    first = [one for one in every if one.round == 0]
    assert {one.status for one in first} == {"towards"}
    assert np.median([one.needed - one.said for one in first]) == 0
