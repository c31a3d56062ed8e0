"""Threads, travel, force and torque of frame bolts.

Source of T = K F d and K = 0.15, 0.20:
http://mechanical-design-handbook.blogspot.com/2007/10/fasteners.html; K = 0.12 well lubricated:
https://torqueconverter.org/bolt-preload-calculation. Stress areas by ISO 898-1 and ASME B1.1, from
memory; travel and tension rise derived.
"""

import pytest

from frames.mechanics.bolts import Bolt, bolt_force_n, stress_area_mm2, tightening_torque_nm
from frames.mechanics.cloth import Mesh
from frames.mechanics.layout import Bar, Layout
from frames.mechanics.strip import Strip

INCH_BOLT, METRIC_BOLT = 25.4 / 18, 1.25
LBF_N = 4.4482216


@pytest.mark.parametrize(
    ("pitch", "step", "travel"),
    [
        (INCH_BOLT, 6, 0.17639),
        (INCH_BOLT, 3, 0.08819),
        (METRIC_BOLT, 6, 0.15625),
        (METRIC_BOLT, 3, 0.07812),
    ],
)
def test_travel_of_a_step(pitch: float, step: int, travel: float) -> None:
    assert Bolt(pitch, step).step_mm == pytest.approx(travel, abs=1e-4)


@pytest.mark.parametrize(
    ("pitch", "turns", "travel"),
    [
        (INCH_BOLT, 1, 1.41111),
        (INCH_BOLT, 0.5, 0.70556),
        (INCH_BOLT, 0.25, 0.35278),
        (METRIC_BOLT, 1, 1.25),
        (METRIC_BOLT, 0.5, 0.625),
        (METRIC_BOLT, 0.25, 0.3125),
    ],
)
def test_travel_of_turns(pitch: float, turns: float, travel: float) -> None:
    """An eighth at a time."""
    assert Bolt(pitch, 6).step_mm * 8 * turns == pytest.approx(travel, abs=1e-5)


@pytest.mark.parametrize(
    ("diameter", "pitch", "inch", "area"),
    [(7.9375, INCH_BOLT, True, 33.826), (8.0, METRIC_BOLT, False, 36.608)],
)
def test_stress_area(diameter: float, pitch: float, inch: bool, area: float) -> None:
    assert stress_area_mm2(diameter, pitch, inch) == pytest.approx(area, abs=0.01)


def test_stress_area_in_square_inches() -> None:
    assert stress_area_mm2(7.9375, INCH_BOLT, True) / 25.4**2 == pytest.approx(0.05243, abs=1e-4)


@pytest.mark.parametrize(
    ("spacing_cm", "tension", "force"),
    [(10, 20, 200), (10, 25, 250), (7.5, 25, 187.5), (12, 30, 360)],
)
def test_force_in_an_inner_bolt(spacing_cm: float, tension: float, force: float) -> None:
    assert bolt_force_n(tension, spacing_cm * 10) == pytest.approx(force)


@pytest.mark.parametrize(
    ("k", "force", "diameter", "torque"),
    [
        (0.12, 250, 7.9375, 0.23813),
        (0.12, 1000, 7.9375, 0.9525),
        (0.15, 250, 7.9375, 0.29766),
        (0.15, 1000, 7.9375, 1.19063),
        (0.20, 250, 7.9375, 0.39687),
        (0.20, 1000, 7.9375, 1.5875),
        (0.12, 250, 8.0, 0.24),
        (0.12, 1000, 8.0, 0.96),
        (0.15, 250, 8.0, 0.3),
        (0.15, 1000, 8.0, 1.2),
        (0.20, 250, 8.0, 0.4),
        (0.20, 1000, 8.0, 1.6),
    ],
)
def test_torque(k: float, force: float, diameter: float, torque: float) -> None:
    assert tightening_torque_nm(force, diameter, k) == pytest.approx(torque, abs=1e-4)


@pytest.mark.parametrize(
    ("diameter", "pitch", "inch", "proof_mpa", "torque", "off"),
    [(7.9375, INCH_BOLT, True, 586, 23.603, 0.1), (8.0, METRIC_BOLT, False, 580, 25.479, 0.05)],
)
def test_torque_at_three_quarters_of_proof(
    diameter: float, pitch: float, inch: bool, proof_mpa: float, torque: float, off: float
) -> None:
    """Proof stresses of grade 5 and class 8.8, from memory; 208.9 lbf in is the first in inches."""
    force = 0.75 * proof_mpa * stress_area_mm2(diameter, pitch, inch)
    made = tightening_torque_nm(force, diameter, 0.20)
    assert made == pytest.approx(torque, abs=off)
    if inch:
        assert made / (LBF_N * 0.0254) == pytest.approx(208.9, abs=1)


def test_tension_in_pounds_an_inch() -> None:
    """About 0.57 is read at https://workhorseproducts.com/how-to-use-a-tension-meter-effectively."""
    assert bolt_force_n(1, 25.4) / LBF_N == pytest.approx(0.571, abs=5e-4)


@pytest.mark.parametrize(
    ("span", "stiffness", "pitch", "rise"),
    [
        (1000, 1090, INCH_BOLT, 1.5381),
        (600, 1090, INCH_BOLT, 2.5635),
        (1000, 700, INCH_BOLT, 0.9878),
        (1000, 1090, METRIC_BOLT, 1.3625),
        (600, 1090, METRIC_BOLT, 2.2708),
        (1000, 700, METRIC_BOLT, 0.875),
    ],
)
def test_tension_rise_of_one_turn_on_one_side(
    span: float, stiffness: float, pitch: float, rise: float
) -> None:
    frame = Layout.evenly(span, 800, 6, 6, Bar())
    strip = Strip(frame, Mesh(stiffness, stiffness, coupling=0))
    turned = frame.vector({n: pitch for n in frame.names if n[0] == "B"})
    assert (strip.tension([(0.5, 0.5)]) @ turned)[0, 0] == pytest.approx(rise, abs=1e-3)
