"""Leave alone, press, bolts, bolts cannot: which answer, and how good a plan of bolts is."""

import numpy as np
import pytest

from frames.mechanics import (
    Adjuster,
    Bolt,
    Layout,
    Limits,
    Mark,
    Mesh,
    Reading,
    RegisterAim,
    State,
    Strip,
    after_readings,
    answer,
    begin,
    plan_register,
    scatter,
    significance,
    what_if,
)
from frames.mechanics.decomposition import affine_rows

FRAME = Layout.evenly(1000, 900, 7, 6)
SIX = [(0.2, 0.2), (0.8, 0.2), (0.2, 0.8), (0.8, 0.8), (0.5, 0.2), (0.5, 0.8)]
PRESS = (
    Adjuster("left", 0.1, 0.0, "away", 0.05, smallest=0.1),
    Adjuster("right", 0.9, 0.0, "away", 0.05, smallest=0.1),
    Adjuster("side", 0.0, 0.5, "right", 0.05, smallest=0.1),
)


def screen(bolt: Bolt | None = None) -> State:
    return begin(Strip(FRAME, Mesh(1000, 1000)), bolt)


def marks_of(parts: list[float], seed: int | None = None, sd: float = 0.03) -> list[Mark]:
    """Marks with shift, rotation, stretch and skew `parts`, scattered if a seed is given."""
    errors = (affine_rows(FRAME, SIX) @ np.array(parts)).reshape(2, -1).T
    if seed is not None:
        errors = errors + np.random.default_rng(seed).normal(0, sd, errors.shape)
    pairs = zip(SIX, errors.tolist(), strict=True)
    return [Mark(u, v, dx, dy, sd) for (u, v), (dx, dy) in pairs]


def pulls_of(parts: list[float], n: int = 3, sd: float = 0.03, seed: int = 0) -> list[list[Mark]]:
    return [marks_of(parts, 1000 * seed + i, sd) for i in range(n)]


@pytest.mark.parametrize("sd", [0.03, 0.1, 0.3])
def test_pure_scatter_never_gets_bolts(sd: float) -> None:
    kinds = [
        answer(screen(), pulls_of([0] * 6, n, sd, seed), RegisterAim(), Limits(), press).kind
        for seed in range(40)
        for n in (3, 5)
        for press in ((), PRESS)
    ]
    assert set(kinds) == {"leave"}


def test_scatter_as_large_as_the_error_points_at_the_lays() -> None:
    taken = scatter(pulls_of([0.1, 0, 0, 0, 0, 0], 3, 0.3, 5))
    found = significance(taken, 0.05)
    assert found.verdict == "scatter"
    assert "lays" in found.message


def test_pulls_that_stray_out_of_tolerance_are_scatter_though_their_mean_is_within() -> None:
    def verdict(*pulls: float) -> str:
        taken = scatter([[Mark(0.3, 0.5, dx, 0.0)] for dx in pulls])
        return significance(taken, tolerance_mm=0.1).verdict

    assert verdict(0.10, -0.05, 0.20) == "scatter"
    assert verdict(0.20, -0.20, 0.0) == "scatter"
    assert verdict(0.06, 0.05, 0.07) == "small"
    assert verdict(0.08, 0.105, 0.055) == "small"


def test_within_tolerance_is_left_alone() -> None:
    found = answer(screen(), pulls_of([0.05, 0, 0, 0, 0, 0], 3, 0.01), RegisterAim(), Limits())
    assert found.kind == "leave"
    assert "tolerance" in found.message


def test_what_the_eye_cannot_tell_is_left_alone() -> None:
    pulls = pulls_of([0.08, 0, 0, 0, 0, 0], 3, 0.003)
    sharp, plain = (
        answer(screen(Bolt(1.25, 3)), pulls, RegisterAim(tolerance_mm=0.02), Limits(), eye=eye)
        for eye in ("loupe", "naked")
    )
    assert (sharp.kind, plain.kind) == ("bolts", "leave")


def test_shift_and_twist_go_to_the_press() -> None:
    found = answer(screen(), pulls_of([0.4, -0.3, 0.5, 0, 0, 0]), RegisterAim(), Limits(), PRESS)
    assert found.kind == "press"
    assert found.adjustment.steps
    assert found.plan is None


def test_stretch_goes_to_the_bolts_after_the_press() -> None:
    parts = [0.4, 0, 0, -0.8, 0, 0]
    found = answer(screen(), pulls_of(parts), RegisterAim(), Limits(), PRESS)
    assert found.kind == "bolts"
    assert "First the press" in found.message
    assert {n[0] for n in found.plan.turns_48ths} == {"B", "D"}
    assert np.abs(found.plan.arrows_mm[:, 1]).max() < 0.05


def test_the_sheets_own_growth_is_not_chased_with_bolts() -> None:
    grown = pulls_of([0, 0, 0, 0.8, 0.3, 0])
    key = marks_of([0, 0, 0, 0.8, 0.3, 0])
    found = answer(screen(), grown, RegisterAim(), Limits(), key_marks=key)
    assert found.kind == "cannot"
    assert "sheet" in found.message
    assert found.sheet.part("stretch_x") == pytest.approx(0.8, abs=0.01)


def test_without_reachable_bolts_bolts_cannot() -> None:
    limits = Limits(hidden=set(FRAME.names))
    found = answer(screen(), pulls_of([0, 0, 0, -0.8, 0, 0]), RegisterAim(), limits)
    assert found.kind == "cannot"
    assert "film" in found.message


@pytest.mark.parametrize("seed", range(6))
def test_a_plan_takes_out_most_of_an_affine_error(seed: int) -> None:
    parts = np.random.default_rng(seed).normal(0, [0.2, 0.2, 0.4, 0.4, 0.4, 0.4])
    marks = marks_of(parts.tolist())
    plan = plan_register(screen(), marks, RegisterAim(), Limits())
    assert plan.status == "optimal"
    assert plan.after_mm < max(0.25 * plan.before_mm, 0.08)
    seen = what_if(screen(), plan.turns_48ths, SIX).moved_mm
    np.testing.assert_allclose(seen, plan.arrows_mm, atol=0.08)


def test_the_curve_falls_with_more_bolts_and_one_can_choose_on_it() -> None:
    marks = marks_of([0.2, 0, 0.3, -0.6, 0.4, 0.2])
    plan = plan_register(screen(), marks, RegisterAim(), Limits())
    bolts = [p.bolts for p in plan.curve]
    assert bolts == sorted(bolts, reverse=True)
    assert plan.curve[-1].image_mm > 3 * plan.curve[0].image_mm
    few = plan_register(screen(), marks, RegisterAim(), Limits(), bolts=8)
    assert len(few.turns_48ths) <= 9
    assert few.after_mm > plan.after_mm


def test_tension_stays_in_its_band() -> None:
    readings = [Reading(u, v, 20.0, 20.0) for u, v in SIX]
    state = after_readings(screen(), readings)
    marks = marks_of([0, 0, 0, -2.0, 0, 0])
    aim = RegisterAim(band_n_per_cm=(19, 21))
    plan = plan_register(state, marks, aim, Limits())
    assert plan.tension_change[1] < 1.2
    assert any("band" in line for line in plan.active)
    assert plan.after_mm > 0.2


def test_the_image_moves_no_more_than_the_stencil_allows() -> None:
    plan = plan_register(
        screen(), marks_of([0, 0, 0, -2.0, 0, 0]), RegisterAim(move_mm=0.2), Limits()
    )
    assert np.abs(plan.arrows_mm).max() < 0.26
    assert any("stencil" in line for line in plan.active)


def test_hidden_bolts_get_no_turns() -> None:
    hidden = {n for n in FRAME.names if n[0] == "B"}
    plan = plan_register(
        screen(), marks_of([0, 0, 0, -0.8, 0, 0]), RegisterAim(), Limits(hidden=hidden)
    )
    assert not hidden & set(plan.turns_48ths)


def test_a_plan_of_one_bolt_says_so() -> None:
    marks = [Mark(0.2, 0.2, 0.0, 0.6, 0.03), Mark(0.2, 0.5, 0.0, 0.3, 0.03)]
    for one in FRAME.names:
        seized = set(FRAME.names) - {one}
        plan = plan_register(screen(), marks, RegisterAim(), Limits(seized=seized))
        if plan.turns_48ths:
            assert list(plan.turns_48ths) == [one]
            assert plan.message.startswith("1 bolt: from ")
            return
    pytest.fail("no single bolt helps: other marks are needed")


def test_two_marks_say_what_they_cannot_tell() -> None:
    pulls = [[Mark(0.2, 0.5, 0.3, 0, 0.02), Mark(0.8, 0.5, -0.3, 0, 0.02)]] * 3
    found = answer(screen(), pulls, RegisterAim(), Limits())
    assert found.kind == "bolts"
    assert "cannot tell" in found.message
