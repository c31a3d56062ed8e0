"""Turn plans for tension: the easy cases, the hard ones, and what is said."""

from dataclasses import replace

import numpy as np
import pytest

from frames.mechanics import (
    Aim,
    Bolt,
    Layout,
    Limits,
    Membrane,
    Mesh,
    Reading,
    State,
    Strip,
    TensionPlan,
    after_readings,
    after_turns,
    begin,
    plan_tension,
)

FRAME = Layout.evenly(1000, 800, 6, 5)
NINE = [(u, v) for v in (0.2, 0.5, 0.8) for u in (0.2, 0.5, 0.8)]
AIM = Aim(20, 0.5)


def read_all(x: float, y: float, tilt: float = 0.0) -> list[Reading]:
    return [Reading(u, v, x + tilt * (v - 0.5), y + tilt * (u - 0.5)) for u, v in NINE]


def screen(readings: list[Reading], model: type = Strip, **about: object) -> State:
    return after_readings(begin(model(FRAME, Mesh(1000, 1000)), **about), readings)


def plan_for(readings: list[Reading], limits: Limits | None = None, **about: object) -> TensionPlan:
    return plan_tension(screen(readings, **about), AIM, limits or Limits(), readings)


def test_even_and_low_asks_the_same_of_every_bolt_of_a_side() -> None:
    plan = plan_for(read_all(18.5, 18.5))
    assert plan.status == "reaches"
    for side in "ABCD":
        turns = {k for n, k in plan.turns_48ths.items() if n[0] == side}
        assert turns
        assert max(turns) - min(turns) <= 8


def test_predicted_readings_meet_the_target_within_their_band() -> None:
    plan = plan_for(read_all(18, 18.5, tilt=2))
    assert np.abs(plan.predicted.mean - 20).max() < 0.5
    assert np.all(plan.predicted.low < plan.predicted.mean)
    assert np.all(plan.predicted.mean < plan.predicted.high)


def test_a_tilted_screen_gets_tilted_turns() -> None:
    plan = plan_for(read_all(18.5, 18.5, tilt=3))
    assert plan.turns_48ths.get("B1", 0) > plan.turns_48ths.get("B5", 0)
    assert plan.turns_48ths.get("A1", 0) > plan.turns_48ths.get("A6", 0)


def test_far_below_target_goes_towards_it_and_counts_the_rounds() -> None:
    plan = plan_for(read_all(8, 8))
    assert plan.status == "towards"
    assert plan.rounds >= 2
    assert max(plan.turns_48ths.values()) == 96
    assert any("At most 2 turns tightened" in line for line in plan.active)


def test_the_rounds_announced_are_about_the_rounds_it_takes() -> None:
    readings = read_all(8, 8)
    state = screen(readings)
    first = plan_tension(state, AIM, Limits(), readings)
    plan, done = first, 1
    while plan.status == "towards" and done < 9:
        turns = {n: k / 48 for n, k in plan.turns_48ths.items()}
        state = after_turns(state, turns)
        plan, done = plan_tension(state, AIM, Limits(), readings), done + 1
    assert abs(done - first.rounds) <= 1


def test_end_bolts_stay_in_the_first_round() -> None:
    plan = plan_for(read_all(8, 8), Limits(first_round=True))
    assert not set(plan.turns_48ths) & FRAME.ends
    assert any("end bolt" in line for line in plan.active)


@pytest.mark.parametrize("step", [8, 6, 3])
def test_turns_are_whole_steps_within_every_limit(step: int) -> None:
    limits = Limits(turns=1.3, loosen_turns=0.4, neighbour_turns=0.5)
    readings = read_all(17, 20.5, tilt=6)
    plan = plan_for(readings, limits, bolt=Bolt(1.25, step))
    turns = FRAME.vector(plan.turns_48ths)
    assert np.all(turns % step == 0)
    assert turns.max() <= 1.3 * 48
    assert turns.min() >= -0.4 * 48
    for side in FRAME.bolts:
        assert np.abs(np.diff(turns[FRAME.columns(side)])).max() <= 0.5 * 48


def test_the_cap_holds_over_the_image_with_its_doubt() -> None:
    readings = read_all(18, 18, tilt=5)
    capped = plan_for(readings, Limits(cap_n_per_cm=21.5))
    free = plan_for(readings)
    state = screen(readings)
    turns = {n: k / 48 for n, k in capped.turns_48ths.items()}
    now = state.tension(FRAME.grid(9)) + 1.645 * state.tension_sd(FRAME.grid(9))
    moved = state.influence(FRAME.grid(9)) @ (FRAME.vector(turns) * state.bolt.pitch_mm)
    assert np.all(now + moved <= np.maximum(21.5, now) + 0.05)
    assert sum(capped.turns_48ths.values()) < sum(free.turns_48ths.values())


def test_a_target_above_the_cap_is_refused() -> None:
    plan = plan_for(read_all(18, 18), Limits(cap_n_per_cm=19))
    assert plan.status == "refused"
    assert "highest tension" in plan.message


def test_emulsion_on_is_refused() -> None:
    readings = read_all(18, 18)
    plan = plan_tension(screen(readings), AIM, Limits(), readings, coated=True)
    assert plan.status == "refused"
    assert "Emulsion" in plan.message
    assert not plan.turns_48ths


def test_in_tolerance_is_left_alone() -> None:
    plan = plan_tension(screen(read_all(20.3, 20.3)), Aim(20, 1.5), Limits(), read_all(20.3, 20.3))
    assert plan.status == "leave"
    assert not plan.turns_48ths


def test_readings_missing_in_one_direction_leave_those_sides_alone() -> None:
    readings = [Reading(u, v, 18.0) for u, v in NINE]
    plan = plan_for(readings)
    assert {n[0] for n in plan.turns_48ths} == {"B", "D"}
    assert "No readings across A" in plan.message


def test_one_reading_gives_even_turns_and_says_where_to_read_next() -> None:
    plan = plan_for([Reading(0.5, 0.5, 18.0, 18.0)])
    assert plan.status in ("reaches", "towards")
    assert set(plan.turns_48ths) == set(FRAME.names)
    assert np.hypot(*(np.array(plan.read_next) - 0.5)) > 0.3


def test_no_reading_is_no_plan() -> None:
    plan = plan_tension(begin(Strip(FRAME, Mesh(1000, 1000))), AIM, Limits())
    assert plan.status == "blocked"
    assert "reading" in plan.message


@pytest.mark.parametrize("kind", ["hidden", "seized", "broken"])
def test_bolts_that_cannot_be_turned_get_no_turn_and_are_named(kind: str) -> None:
    plan = plan_for(read_all(18, 18), Limits(**{kind: {"A2", "B1"}}))
    assert not {"A2", "B1"} & set(plan.turns_48ths)
    assert any("A2, B1" in line for line in plan.active)


def test_a_side_without_reachable_bolts_is_made_up_for_by_the_other() -> None:
    blocked = {n for n in FRAME.names if n[0] == "A"}
    plan = plan_for(read_all(18, 18.5), Limits(hidden=blocked))
    free = plan_for(read_all(18, 18.5))
    assert plan.turns_48ths["C3"] > free.turns_48ths["C3"]
    assert np.abs(plan.predicted.mean - 20).max() < 0.8
    assert any("A1" in line and "cannot be reached" in line for line in plan.active)


def test_a_direction_without_reachable_bolts_is_said_and_promises_no_further_round() -> None:
    blocked = {n for n in FRAME.names if n[0] in "AC"}
    plan = plan_for(read_all(18, 18), Limits(hidden=blocked))
    assert {n[0] for n in plan.turns_48ths} == {"B", "D"}
    assert plan.message.startswith("These bolts cannot bring every reading into tolerance.")
    assert "No bolt that pulls across A can be turned" in plan.message


def test_nothing_to_turn_is_said() -> None:
    plan = plan_for(read_all(18, 18), Limits(seized=set(FRAME.names)))
    assert plan.status == "blocked"
    assert "No bolt can be turned" in plan.message


def test_an_untrusted_count_is_said() -> None:
    readings = read_all(18, 18)
    plan = plan_tension(replace(screen(readings), trusted=False), AIM, Limits(), readings)
    assert "not trusted" in plan.message
    assert "stand-out" in plan.message


# Row by row away from side A, as in NINE; sides run anticlockwise.
NAMED = (
    *("Corner D/A", "Midway along A", "Corner A/B"),
    *("Midway along D", "The middle", "Midway along B"),
    *("Corner C/D", "Midway along C", "Corner B/C"),
)


@pytest.mark.parametrize(("spot", "name"), tuple(enumerate(NAMED)), ids=NAMED)
def test_a_reading_that_contradicts_the_others_is_named(spot: int, name: str) -> None:
    readings = read_all(18, 18)
    readings[spot] = Reading(*NINE[spot], 30.0, 18.0)
    plan = plan_for(readings)
    assert f"{name} does not fit the other readings: zero the meter" in plan.message
    assert any("smaller turns" in line for line in plan.active)
    assert max(map(abs, plan.turns_48ths.values())) <= 48


def test_after_a_surprise_turns_are_smaller() -> None:
    readings = read_all(8, 8)
    plan = plan_tension(replace(screen(readings), caution=0.25), AIM, Limits(), readings)
    assert max(plan.turns_48ths.values()) <= 24
    assert any("smaller turns" in line for line in plan.active)


def test_neighbours_of_a_seized_bolt_are_expected_to_leave_it_loose() -> None:
    plan = plan_for(read_all(10, 10), Limits(seized={"A3"}))
    assert "A3" in plan.loose


def test_the_membrane_gives_nearly_the_same_plan() -> None:
    readings = read_all(18, 18.5, tilt=1.5)
    strip, membrane = (
        plan_tension(screen(readings, m), AIM, Limits(), readings) for m in (Strip, Membrane)
    )
    gap = FRAME.vector(strip.turns_48ths) - FRAME.vector(membrane.turns_48ths)
    assert np.abs(gap).mean() <= 6


def test_the_same_question_gets_the_same_answer() -> None:
    assert plan_for(read_all(17, 18, 1)).turns_48ths == plan_for(read_all(17, 18, 1)).turns_48ths
