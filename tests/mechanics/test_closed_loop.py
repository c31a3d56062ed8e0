"""The closed loop and the hand rule: fair places, kept rules, a rule that works."""

from collections.abc import Sequence

import numpy as np
import pytest

from tests.mechanics import hand_rule
from tests.mechanics.closed_loop import (
    PLACES,
    Brief,
    Plan,
    Reading,
    Round,
    inner,
    margin,
    run,
    trips_needed,
    troubled,
)
from tests.mechanics.plant import LAYOUTS, Layout, Plant

FRAME = LAYOUTS[2]


def brief(layout: Layout = FRAME, fixed: Sequence[str] = ()) -> Brief:
    return Brief(layout, 22.0, 1.5, 32.0, 6, 96, frozenset(fixed), tuple(PLACES["nine"]))


def readings(along: float, across: float) -> list[Reading]:
    return [Reading(u, v, along, across) for u, v in PLACES["nine"]]


@pytest.mark.parametrize("layout", LAYOUTS, ids=lambda layout: layout.name)
def test_layouts_and_places_are_what_they_should_be(layout: Layout) -> None:
    assert all(4 <= len(places) <= 16 for places in layout.bolts.values())
    spans = np.array([layout.inside_a_mm, layout.inside_b_mm])
    for places, least, count in ((inner(layout), 80, 49), (margin(layout), 45, 20)):
        at = np.array(places) * spans
        assert len(places) == count
        assert min(at.min(), (spans - at).min()) == pytest.approx(least)


def test_the_hand_rule_lifts_and_evens_screens() -> None:
    scores = run(hand_rule.plan, range(3), LAYOUTS[:3], rounds=4)
    assert len(scores.layouts) == 9
    readings_miss = np.median(scores.array("readings"), axis=0)
    assert readings_miss[-1] < 1.2
    assert readings_miss[-1] < readings_miss[0]
    assert (scores.array("largest") < 32).all()
    assert "places" in scores.table()


def test_doing_nothing_leaves_the_screen_slack() -> None:
    scores = run(lambda brief, log, readings: {}, range(1), LAYOUTS[:1], rounds=2)
    assert (scores.array("places") > 14).all()


@pytest.mark.parametrize(
    ("plan", "says"),
    [
        (lambda brief, log, readings: {"E1": 6}, "no bolt"),
        (lambda brief, log, readings: {"A1": 6}, "cannot be turned"),
        (lambda brief, log, readings: {"A2": 7}, "no whole step"),
        (lambda brief, log, readings: {"A2": 102}, "over the limit"),
    ],
)
def test_a_plan_that_breaks_the_brief_fails(
    plan: Plan, says: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("tests.mechanics.closed_loop.troubled", lambda *given: frozenset({"A1"}))
    with pytest.raises(AssertionError, match=says):
        run(plan, range(1), LAYOUTS[:1], rounds=1)


def test_trouble_is_what_it_says() -> None:
    for seed in range(20):
        assert len(troubled(FRAME, "seized", seed)) == 1
        assert len(troubled(FRAME, "seized2", seed)) == 2
        hidden = sorted(troubled(FRAME, "hidden", seed))
        assert {name[0] for name in hidden} == {hidden[0][0]}
        assert set(hidden) < set(FRAME.names)
        assert len(hidden) == max(1, len(FRAME.bolts[hidden[0][0]]) // 3)
    assert not troubled(FRAME, "none", 0)


def test_stiff_and_small_screens_need_fewer_trips() -> None:
    trips = {
        (layout.name, stiff): trips_needed(Plant(1, layout, ex=stiff, ey=stiff), brief(layout))
        for layout in (LAYOUTS[0], LAYOUTS[3])
        for stiff in (80.0, 150.0)
    }
    assert trips["40x50", 150.0] <= trips["40x50", 80.0] < trips["100x140", 80.0]
    assert trips["100x140", 150.0] < trips["100x140", 80.0]


def test_the_rule_turns_each_bolt_by_half_its_row_and_half_its_nearest() -> None:
    given = readings(22.0, 22.0)
    given[0] = Reading(0.2, 0.2, 22.0, 16.0)
    assert hand_rule.deficit(brief(), given, "A1") == pytest.approx(6 / 2 + 2 / 2)
    assert hand_rule.deficit(brief(), given, "A6") == pytest.approx(2 / 2)
    assert hand_rule.deficit(brief(), given, "C1") == 0
    assert hand_rule.deficit(brief(), given, "D8") == 0


def test_the_rule_learns_its_gain_from_the_last_change() -> None:
    asked = dict.fromkeys(FRAME.names, 48)
    log = [Round(readings(8.0, 9.0), asked, {})]
    expected = 2 * FRAME.pitch_mm / FRAME.inside_a_mm * 1090
    first = hand_rule.learned_gain(brief(), [], readings(8.0, 9.0), "BD")
    assert first == pytest.approx(expected)
    assert hand_rule.learned_gain(brief(), log, readings(13.0, 12.0), "BD") == 5.0
    assert hand_rule.learned_gain(brief(), log, readings(13.0, 12.0), "AC") == 3.0
    assert hand_rule.learned_gain(brief(), log, readings(60.0, 9.0), "BD") == 2 * expected


def test_the_rule_keeps_to_the_brief_and_does_without_missing_readings() -> None:
    given = [Reading(u, v, None, 9.0) for u, v in PLACES["five"]]
    turns = hand_rule.plan(brief(fixed=["A2"]), [], given)
    assert "A2" not in turns
    assert all(turn == 0 for name, turn in turns.items() if name[0] in "BD")
    assert all(turn == 96 for name, turn in turns.items() if name[0] in "AC")
