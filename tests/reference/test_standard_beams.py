"""Single spans under uniform and point load, a 40 x 40 x 2.5 aluminium box of 1 m.

Source: standard beam formulas, from memory, recomputed. Units N and mm.
"""

import numpy as np
import pytest

from frames.mechanics.beam import bend

EI = 69000 * 88281.25
NODES = np.linspace(0, 1000, 9)


def test_simply_supported_uniform_deflection() -> None:
    beam = bend(NODES, EI, {0: 0, 8: 0}, line_load=2.5)
    assert beam.deflection[4] == pytest.approx(5.3439, abs=1e-3)


def test_simply_supported_uniform_moment() -> None:
    beam = bend(NODES, EI, {0: 0, 8: 0}, line_load=2.5)
    assert abs(beam.moment[4]) == pytest.approx(312500, abs=0.1)


def test_simply_supported_point_deflection() -> None:
    beam = bend(NODES, EI, {0: 0, 8: 0}, point_loads={4: 250})
    assert beam.deflection[4] == pytest.approx(0.85503, abs=1e-4)


def test_built_in_uniform_end_moment() -> None:
    """In the middle of many equal spans no support turns, as if every span were built in."""
    spans = bend(np.linspace(0, 21000, 85), EI, dict.fromkeys(range(0, 85, 4), 0.0), line_load=2.5)
    assert abs(spans.moment[40]) == pytest.approx(208333.333, abs=0.5)
