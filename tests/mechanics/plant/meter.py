"""A tension meter: it feels the mean tension under its base and shows half newtons."""

import numpy as np
from numpy.typing import NDArray

from .grid import Grid

Floats = NDArray[np.float64]
BASE_MM = (100.0, 40.0)  # along and across the direction it measures
NOISE_N_PER_CM = 0.4
STEP_N_PER_CM = 0.5
_LONG, _WIDE = np.linspace(-0.5, 0.5, 9), np.linspace(-0.5, 0.5, 5)


class Patches:
    """Weights that average a field under the meter's base at some points (n, 2) in mm."""

    def __init__(self, grid: Grid, points: Floats) -> None:
        middles_x, middles_y = (grid.x[:-1] + grid.x[1:]) / 2, (grid.y[:-1] + grid.y[1:]) / 2
        spread = (_LONG * BASE_MM[0], _WIDE * BASE_MM[1])
        self._x = (hats(middles_x, points[:, 0], spread[0]), hats(grid.y, points[:, 1], spread[1]))
        self._y = (hats(grid.x, points[:, 0], spread[1]), hats(middles_y, points[:, 1], spread[0]))

    def under(self, tension_x: Floats, tension_y: Floats) -> Floats:
        """Mean of both tensions at each point (n, 2), in the unit given."""
        along = ((self._x[0] @ tension_x) * self._x[1]).sum(axis=1)
        across = ((self._y[0] @ tension_y) * self._y[1]).sum(axis=1)
        return np.stack([along, across], axis=1)


def hats(lines: Floats, at: Floats, spread: Floats) -> Floats:
    """Mean weights (len(at), len(lines)) of linear interpolation at `at` + each of `spread`."""
    where = np.clip(at[:, None] + spread, lines[0], lines[-1])
    last = np.clip(np.searchsorted(lines, where, side="right") - 1, 0, len(lines) - 2)
    part = (where - lines[last]) / (lines[last + 1] - lines[last])
    weights = np.zeros((len(at), len(lines)))
    rows = np.broadcast_to(np.arange(len(at))[:, None], where.shape)
    np.add.at(weights, (rows, last), (1 - part) / len(spread))
    np.add.at(weights, (rows, last + 1), part / len(spread))
    return weights


def shown(true_n_per_cm: Floats, rng: np.random.Generator) -> Floats:
    """What the meter shows: noise on top, rounded to its step, never below zero."""
    noisy = true_n_per_cm + NOISE_N_PER_CM * rng.standard_normal(true_n_per_cm.shape)
    return np.maximum(np.round(noisy / STEP_N_PER_CM) * STEP_N_PER_CM, 0.0)
