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


@pytest.mark.parametrize(
    ("pitch", "step", "travel"),
    [(INCH_BOLT, 6, 0.17639), (INCH_BOLT, 3, 0.08819), (METRIC_BOLT, 6, 0.15625)],
)
def test_travel_of_a_step(pitch: float, step: int, travel: float) -> None:
    assert Bolt(pitch, step).step_mm == pytest.approx(travel, abs=1e-4)


@pytest.mark.parametrize(
    ("diameter", "pitch", "inch", "area"),
    [(7.9375, INCH_BOLT, True, 33.826), (8.0, METRIC_BOLT, False, 36.608)],
)
def test_stress_area(diameter: float, pitch: float, inch: bool, area: float) -> None:
    assert stress_area_mm2(diameter, pitch, inch) == pytest.approx(area, abs=0.01)


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
        (0.15, 250, 7.9375, 0.29766),
        (0.20, 250, 7.9375, 0.39687),
        (0.20, 1000, 7.9375, 1.5875),
        (0.20, 250, 8.0, 0.4),
        (0.20, 1000, 8.0, 1.6),
    ],
)
def test_torque(k: float, force: float, diameter: float, torque: float) -> None:
    assert tightening_torque_nm(force, diameter, k) == pytest.approx(torque, abs=1e-4)


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
