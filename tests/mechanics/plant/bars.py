"""A bar in bending, by finite differences on uneven spacing; its ends are free."""

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


def bending(at: Floats, rigidity: float) -> Floats:
    """Stiffness (n, n) of a free bar with nodes at `at` (mm), rigidity EI in N·mm²."""
    gaps = np.diff(at)
    stiffness = np.zeros((len(at), len(at)))
    for i in range(1, len(at) - 1):
        before, after = gaps[i - 1], gaps[i]
        span = (before + after) / 2
        curve = np.array([1 / before, -1 / before - 1 / after, 1 / after]) / span
        stiffness[i - 1 : i + 2, i - 1 : i + 2] += rigidity * span * np.outer(curve, curve)
    return stiffness
