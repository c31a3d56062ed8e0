"""A case one can do on paper.

A 700 mm image prints 0.6 mm short in a frame 1,000 mm inside, 5/16-18 bolts. Two flats on every
bolt of both ends are 2 x (1/3) x 1.4111 = 0.94 mm in 1,000 mm: the image grows by 0.66 mm, bare
mesh of 1,090 N/cm gains 1.0 N/cm. Stainless of 15,200 N/cm would gain 0.6/700 x 15,200 = 13 N/cm.
"""

import pytest

from frames.mechanics import (
    Bolt,
    Layout,
    Limits,
    Mark,
    Mesh,
    RegisterAim,
    State,
    Strip,
    answer,
    begin,
    what_if,
)

ENDS = (0.15, 0.85)
SHORT = [[Mark(u, v, 0.3 if u < 0.5 else -0.3, 0.0) for u in ENDS for v in (0.2, 0.8)]]
TWO_FLATS = 16  # 48ths


def screen(stiffness: float) -> State:
    mesh = Mesh(stiffness, stiffness, coupling=0)
    return begin(Strip(Layout.evenly(1000, 1000, 7, 7), mesh), Bolt(25.4 / 18, 8))


def both_ends(state: State) -> dict[str, int]:
    return {name: TWO_FLATS for name in state.layout.names if name[0] in "BD"}


def test_two_flats_lengthen_the_image_by_two_thirds_of_a_millimetre() -> None:
    state = screen(1090)
    moved = what_if(state, both_ends(state), [(u, 0.5) for u in ENDS]).moved_mm
    assert moved[1, 0] - moved[0, 0] == pytest.approx(0.66, abs=0.005)


def test_two_flats_cost_one_newton_per_cm() -> None:
    state = screen(1090)
    change = what_if(state, both_ends(state), [(0.5, 0.5)]).change
    assert change[0, 0] == pytest.approx(1.0, abs=0.05)


def test_the_plan_is_two_flats_on_every_bolt_of_both_ends() -> None:
    state = screen(1090)
    found = answer(state, SHORT, RegisterAim(), Limits())
    assert found.kind == "bolts"
    assert found.plan.turns_48ths == both_ends(state)
    assert found.decomposition.part("stretch_x") * 0.7 == pytest.approx(-0.6, abs=0.01)


def test_stainless_is_refused_and_the_cost_is_told() -> None:
    found = answer(screen(15200), SHORT, RegisterAim(), Limits())
    assert found.kind == "cannot"
    assert found.cost_n_per_cm == pytest.approx(13.0, abs=15200 * 25.4 / 18 / 6 / 1000 / 2)
    assert "N/cm" in found.message
    assert "film" in found.message
    assert "sheet" in found.message
