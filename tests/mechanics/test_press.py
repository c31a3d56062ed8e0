"""Shift and twist on the press's own adjusters."""

from dataclasses import replace

import numpy as np
import pytest

from frames.mechanics import Adjuster, InputFault, Layout, Mark, View, adjust
from frames.mechanics.views import centred_mm

FRAME = Layout.evenly(1000, 800, 5, 4)
FOUR = [(0.2, 0.2), (0.8, 0.2), (0.2, 0.8), (0.8, 0.8)]
THREE = (
    Adjuster("left", 0.1, 0.0, "away", 0.05, "clockwise", "anticlockwise", smallest=0.1, order=1),
    Adjuster("right", 0.9, 0.0, "away", 0.05, "clockwise", "anticlockwise", smallest=0.1, order=2),
    Adjuster("side", 0.0, 0.5, "right", 0.04, "in", "out", smallest=0.1, backlash=2, order=3),
)


def rigid(dx: float, dy: float, mrad: float) -> list[Mark]:
    x, y = (centred_mm(FRAME, FOUR) / 1000).T
    errors = zip(FOUR, dx - mrad * y, dy + mrad * x, strict=True)
    return [Mark(u, v, float(ex), float(ey)) for (u, v), ex, ey in errors]


@pytest.mark.parametrize(
    "view", [View(f, s) for f in ("squeegee", "print") for s in "ABCD"], ids=str
)
def test_three_adjusters_take_out_any_shift_and_twist(view: View) -> None:
    done = adjust(FRAME, rigid(0.4, -0.3, 0.5), THREE, view)
    assert max(abs(m.dx_mm) + abs(m.dy_mm) for m in done.rest) < 0.01
    np.testing.assert_allclose(done.shift_mm, [-0.4, 0.3], atol=0.01)
    assert done.rotation_mrad == pytest.approx(-0.5, abs=0.01)


def test_the_screen_really_moves_by_what_the_adjusters_are_turned() -> None:
    done = adjust(FRAME, rigid(0.4, -0.3, 0.5), THREE)
    for a in THREE:
        x, y = (centred_mm(FRAME, [(a.right, a.away)])[0]) / 1000
        motion = done.shift_mm + done.rotation_mrad * np.array([-y, x])
        along = motion[0] if a.moves == "right" else motion[1]
        assert along == pytest.approx(done.divisions[a.name] * a.mm_per_division, abs=1e-9)


def test_without_a_sideways_adjuster_the_sideways_shift_stays() -> None:
    done = adjust(FRAME, rigid(0.4, -0.3, 0.0), THREE[:2])
    assert np.mean([m.dx_mm for m in done.rest]) == pytest.approx(0.4, abs=0.02)
    assert np.mean([m.dy_mm for m in done.rest]) == pytest.approx(0.0, abs=0.02)


def test_steps_come_in_the_shops_order_with_backlash_and_lock() -> None:
    steps = adjust(FRAME, rigid(0.4, -0.3, 0.5), THREE).steps
    assert [s.split(":")[0] for s in steps[:3]] == ["left", "right", "side"]
    assert "come back" in steps[2]
    assert steps[-1].startswith("Lock")


def test_the_end_of_travel_is_named() -> None:
    short = (replace(THREE[0], most=1.0), *THREE[1:])
    done = adjust(FRAME, rigid(0.0, -0.3, 0.0), short)
    assert done.limited == ("left",)
    assert abs(done.divisions["left"]) == 1.0


def test_nothing_to_do_has_no_steps() -> None:
    assert adjust(FRAME, rigid(0.0, 0.0, 0.0), THREE).steps == ()


def test_two_adjusters_of_one_name_are_refused() -> None:
    with pytest.raises(InputFault, match="adjusters"):
        adjust(FRAME, rigid(0.1, 0, 0), (THREE[0], THREE[0]))
