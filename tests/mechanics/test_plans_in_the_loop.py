"""A few screens of the independent plant; the full trials are commands, see `trial_tension.py`."""

import numpy as np
import pytest

from frames.mechanics import Observation, learn, what_if
from tests.mechanics import hand_rule, our_planner, trial_register
from tests.mechanics.closed_loop import PLACES, Brief, Scores, run
from tests.mechanics.plant import LAYOUTS, Plant

SMALL = LAYOUTS[:3]
SEEDS = (300, 301)


@pytest.fixture(scope="module")
def ours() -> Scores:
    return run(our_planner.plan, SEEDS, SMALL, rounds=3)


def test_readings_come_into_tolerance_by_the_second_counted_round(ours: Scores) -> None:
    assert np.median(ours.array("readings")[:, 1]) < 1.0
    assert ours.array("readings")[:, 2].max() < 1.5


def test_the_readings_are_closer_than_by_the_hand_rule(ours: Scores) -> None:
    by_hand = run(hand_rule.plan, SEEDS, SMALL, rounds=3)
    assert ours.array("readings")[:, 1:].mean() < by_hand.array("readings")[:, 1:].mean()


def test_tension_stays_below_the_cap_on_the_way(ours: Scores) -> None:
    assert ours.array("largest").max() < 32


@pytest.mark.parametrize("trouble", ["seized2", "hidden"])
def test_stuck_bolts_do_not_make_it_run_away(trouble: str) -> None:
    found = run(our_planner.plan, SEEDS[:1], SMALL, trouble=trouble, rounds=4)
    readings = found.array("readings")
    assert readings[:, -1].max() < 2.5
    assert np.all(readings[:, -1] <= readings[:, 0] + 0.5)
    assert found.array("largest").max() < 32


@pytest.mark.parametrize("count", [3, 6])
def test_register_comes_in_with_one_plan(count: int) -> None:
    found = [trial_register.one_screen(7, layout, count, 6) for layout in SMALL]
    for trial in found:
        assert trial.at_marks[1] < max(0.3 * trial.at_marks[0], 0.12)
        assert trial.on_image[1] < 0.5 * trial.on_image[0]
        assert trial.tension < 4.5


def changes(plant: Plant, brief: Brief, rounds: int) -> list[tuple[float, float]]:
    """Mean tension in x: predicted change with factor 1 and observed change, round by round."""
    out = []
    frame = our_planner.strip_of(brief).layout
    for i in range(rounds):
        before = np.mean([x for x, _ in plant.read(brief.places)])
        state = our_planner.believed(brief, [], [])
        turns = {n: (24 if i % 2 == 0 else -12) for n in frame.names if n[0] in "BD"}
        asked = what_if(state, turns, brief.places).change[:, 0].mean()
        plant.turn({n: k / 48 for n, k in turns.items()})
        plant.nip_up()
        after = np.mean([x for x, _ in plant.read(brief.places)])
        out.append((float(asked), float(after - before)))
    return out


@pytest.mark.parametrize("seed", [310, 311, 312])
def test_learning_from_ten_plans_mends_the_prediction(seed: int) -> None:
    layout = LAYOUTS[0]
    plant = Plant(seed, layout, start_n_per_cm=14.0)
    brief = Brief(layout, 22.0, 1.5, 32.0, 6, 96, frozenset(), tuple(PLACES["nine"]))
    seen = changes(plant, brief, 12)
    log = [Observation("F", "M", "x", p, o, 0.25) for p, o in seen[:10]]
    factor = learn(log, "F", "M", "x").mean
    gap_before = np.mean([abs(o - p) for p, o in seen[10:]])
    gap_after = np.mean([abs(o - factor * p) for p, o in seen[10:]])
    assert gap_after < max(0.5 * gap_before, 0.3)
