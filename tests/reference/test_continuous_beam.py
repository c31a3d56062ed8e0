"""Two equal spans: uniform load, and a middle support that moves.

Source of the loaded beam: https://github.com/JWock82/Pynite Testing/test_continuous_beam.py
(w L^2 / 8).
The moved support is the three-moment equation, from memory, recomputed.
"""

import numpy as np
import pytest

from frames.mechanics.bar import bending_matrix
from frames.mechanics.beam import bend

QUARTER_TURN = 25.4 / 18 / 4  # mm


def test_uniform_load_over_two_spans() -> None:
    loaded = bend(np.linspace(0, 240, 9), 1e6, {0: 0, 4: 0, 8: 0}, line_load=-10)
    assert loaded.moment[4] == pytest.approx(-18000, abs=0.01)  # kip in


def moved() -> object:
    return bend(np.array([0.0, 100, 200]), 69000 * 20000, {0: 0, 1: QUARTER_TURN, 2: 0})


def test_moment_at_a_moved_support() -> None:
    assert abs(moved().moment[1]) == pytest.approx(146050, rel=1e-4)  # 3 EI d / L^2, N mm


def test_force_at_a_moved_support() -> None:
    assert moved().reaction[1] == pytest.approx(2921.0, rel=1e-4)  # 6 EI d / L^3, N


def test_the_spline_of_the_strip_model_says_the_same() -> None:
    stiffness = bending_matrix(np.array([0.0, 100, 200]), 69000 * 20000)
    assert stiffness[1, 1] * QUARTER_TURN == pytest.approx(2921.0, rel=1e-4)
