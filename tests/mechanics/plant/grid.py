"""The lines of the net: through every bolt and lock end, filled up to a largest gap."""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from .layouts import Layout

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]


@dataclass(frozen=True)
class Grid:
    """Net lines at x (nx,) and y (ny,) mm; `number[i, j]` counts nodes along the shorter way."""

    x: Floats
    y: Floats
    number: Ints
    lock_short_mm: float

    @property
    def nodes(self) -> int:
        return self.number.size

    def dofs(self, axis: int) -> Ints:
        """Degree of freedom of each node's displacement along x (0) or y (1), (nx, ny)."""
        return 2 * self.number + axis

    def held(self, side: str) -> tuple[Floats, Ints, float]:
        """Positions (mm) and degrees of freedom of a side's locked nodes; outward sign."""
        along = self.x if side in "AC" else self.y
        axis = 1 if side in "AC" else 0
        edge = {"A": np.s_[:, 0], "B": np.s_[-1, :], "C": np.s_[:, -1], "D": np.s_[0, :]}[side]
        short = self.lock_short_mm - 1e-6
        locked = (along >= short) & (along <= along[-1] - short)
        return along[locked], self.dofs(axis)[edge][locked], 1.0 if side in "BC" else -1.0

    def node_of(self, layout: Layout, bolt: str) -> tuple[int, int]:
        x, y = layout.place(bolt)
        return int(np.argmin(abs(self.x - x))), int(np.argmin(abs(self.y - y)))


def build(layout: Layout, lock_short_mm: float, cells: float = 1.0) -> Grid:
    """A grid with gaps of at most 1/14 of the length or 60 mm, divided by `cells`."""
    x = lines(layout, "AC", lock_short_mm, cells)
    y = lines(layout, "BD", lock_short_mm, cells)
    count = np.arange(len(x) * len(y))
    shape = (len(x), len(y))
    number = count.reshape(shape) if len(y) <= len(x) else count.reshape(shape[::-1]).T
    return Grid(x, y, number, lock_short_mm)


def lines(layout: Layout, sides: str, lock_short_mm: float, cells: float) -> Floats:
    length = layout.side_length(sides[0])
    axis = 0 if sides == "AC" else 1
    bolts = [layout.place(name)[axis] for name in layout.names if name[0] in sides]
    fixed = np.unique(np.round([0.0, lock_short_mm, length - lock_short_mm, length, *bolts], 6))
    gap = min(60.0, length / 14) / cells
    parts = [
        np.linspace(a, b, max(1, int(np.ceil((b - a) / gap - 1e-9))), endpoint=False)
        for a, b in pairwise(fixed)
    ]
    return np.append(np.concatenate(parts), length)


def widths(at: Floats) -> Floats:
    """The strip of mesh that each line stands for, mm."""
    half = np.diff(at) / 2
    return np.append(half, 0.0) + np.append(0.0, half)
