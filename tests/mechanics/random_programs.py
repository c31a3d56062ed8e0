"""Random strictly convex programs, some without a solution, from a seed."""

import numpy as np

from frames.mechanics.quadratic import Program


def random_program(seed: int) -> Program:
    """A program of 2 to 30 unknowns and 0 to 60 rows; every tenth has rows that contradict."""
    r = np.random.default_rng(seed)
    n, m = int(r.integers(2, 31)), int(r.integers(0, 61))
    root = r.normal(size=(n, n))
    h = root @ root.T / n + np.diag(r.uniform(0.05, 1, n))
    f = r.normal(size=n) * 3
    low, high = -r.uniform(0.2, 2, n), r.uniform(0.2, 2, n)
    a = r.normal(size=(m, n))
    inside = r.uniform(low, high) * 0.5
    width = r.uniform(0.1, 3, size=(2, m))
    row_low, row_high = a @ inside - width[0], a @ inside + width[1]
    if seed % 10 == 9 and m:
        row_low[0] = np.abs(a[0]) @ np.maximum(high, -low) + 1
        row_high[0] = row_low[0] + 1
    return Program(h, f, low, high, a, row_low, row_high)
