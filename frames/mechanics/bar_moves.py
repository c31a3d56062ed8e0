"""How the bars follow a set of turns when some bolts stay: those that stay may lose their bar."""

from __future__ import annotations

import numpy as np

from .contact import LOOSE_MM
from .limits import Limits
from .state import State


def holding_still(state: State, limits: Limits) -> np.ndarray:
    """(bolts,) bool: bolts that do not move this round but bear on their bar now."""
    layout = state.layout
    still = ~limits.moving(layout) & ~limits.is_broken(layout)
    return still & (state.bar_mm - state.draw_mm < LOOSE_MM)


def follow(state: State, limits: Limits, bearing: np.ndarray) -> np.ndarray:
    """Bar movement per turn, (bolts, bolts), mm: columns of bolts that stay are zero.

    Turned bolts carry their bar along; bolts in ``bearing`` keep theirs where it is; anywhere else
    the bar takes the shape of least energy, bending and mesh together.
    """
    layout = state.layout
    moving = limits.moving(layout)
    fixed = moving | bearing
    out = np.zeros((layout.count, layout.count))
    out[moving, moving] = state.bolt.pitch_mm
    if not np.all(fixed):
        k = state.strip.bending + state.strip.spring + 1e-5 * np.eye(layout.count)
        free = ~fixed
        carried = -np.linalg.solve(k[np.ix_(free, free)], k[np.ix_(free, fixed)])
        out[free] = carried @ out[fixed]
    return out


def waviness(state: State, per_turn: np.ndarray, in_mm: bool = False) -> np.ndarray:
    """(bolts, bolts) penalty on bar bending, in squared tension misses (or squared mm).

    Scaled so that a bow of k half waves along a side counts k^4 times the first one, and the first
    as much as the tension it makes: independent of the bar's section, which is seldom known.
    """
    layout = state.layout
    total = np.zeros((layout.count, layout.count))
    for side in layout.bolts:
        at = layout.columns(side)
        length, axis = layout.length_mm(side), 1 if side in "AC" else 0
        stiffness = state.strip.mesh.stiffness[axis][axis] * state.factors[axis]
        per_mm = 1.0 if in_mm else stiffness / layout.span_mm(side)
        block = state.model.bending[np.ix_(at, at)] / layout.bar.ei_n_mm2
        total[np.ix_(at, at)] = 2 * block * length**3 / np.pi**4 * per_mm**2
    return per_turn.T @ total @ per_turn
