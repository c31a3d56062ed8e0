"""The strip model: threads act alone between the two bars that hold them, in closed form."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from .bar import bending_matrix, shape_weights
from .cloth import Mesh
from .layout import OPPOSITE, OUTWARD, SIDES, Layout, as_places

QUADRATURE = 33  # points along a bar; the shapes are cubics, so this is plenty


@dataclass(frozen=True)
class Strip:
    """Influence of the bars' positions at the bolts, neglecting shear.

    A strip along x at height y is stretched by (w_B(y) + w_D(y)) / a; displacement runs linearly
    between the bars; tension follows from the two strains with the mesh's 2 x 2 stiffness. Holds
    where shear is small against Ex, Ey and away from corners; in closed-loop trials about as good
    for advice as finite elements.

    Parameters
    ----------
    layout : the frame
    mesh : its mesh

    >>> frame, mesh = Layout.evenly(1000, 1000, 5, 5), Mesh(1000, 1000, coupling=0)
    >>> w = frame.vector({n: 1.0 for n in frame.names if n[0] in "BD"})
    >>> float((Strip(frame, mesh).tension([(0.5, 0.5)])[0, 0] @ w).round(6))  # 2 mm in 1000 mm
    2.0
    """

    layout: Layout
    mesh: Mesh
    name: str = field(default="strip", init=False)

    def strain(self, places: object) -> np.ndarray:
        """Strain per mm of bar position, (n, 2, bolts): x then y."""
        at = as_places(places)
        out = np.zeros((len(at), 2, self.layout.count))
        for side in SIDES:
            axis = OUTWARD[side][1]
            out[:, axis, self.layout.columns(side)] = self._bar(side, at) / self.layout.span_mm(
                side
            )
        return out

    def tension(self, places: object) -> np.ndarray:
        """Change of tension per mm of bar position, (n, 2, bolts), N/cm per mm: x then y."""
        return np.einsum("ij,njk->nik", np.array(self.mesh.stiffness), self.strain(places))

    def displacement(self, places: object) -> np.ndarray:
        """Displacement per mm of bar position, (n, 2, bolts), mm per mm, in frame axes."""
        at = as_places(places)
        out = np.zeros((len(at), 2, self.layout.count))
        for side in SIDES:
            sign, axis = OUTWARD[side]
            share = at[:, axis] if sign > 0 else 1 - at[:, axis]
            out[:, axis, self.layout.columns(side)] = sign * share[:, None] * self._bar(side, at)
        return out

    @cached_property
    def bending(self) -> np.ndarray:
        """(bolts, bolts), N/mm: 1/2 w'Kw is the bending energy of the four bars."""
        return bar_bending(self.layout)

    @cached_property
    def spring(self) -> np.ndarray:
        """(bolts, bolts), N/mm: forces the mesh puts on the bars per mm of bar position."""
        n = self.layout.count
        out = np.zeros((n, n))
        for side in "AB":
            width, length = self.layout.length_mm(side), self.layout.span_mm(side)
            s, weight = np.linspace(0, width, QUADRATURE), _simpson(width)
            here = shape_weights(self.layout.along(side), s)
            there = shape_weights(self.layout.along(OPPOSITE[side]), s)
            rows = np.zeros((QUADRATURE, n))
            rows[:, self.layout.columns(side)] = here
            rows[:, self.layout.columns(OPPOSITE[side])] = there
            stiffness = self.mesh.stiffness[OUTWARD[side][1]][OUTWARD[side][1]] / 10
            out += stiffness / length * rows.T @ (weight[:, None] * rows)
        return out

    def pull(self, tension_n_per_cm: object) -> np.ndarray:
        """Inward forces at the bolts, (bolts,), N, from the tension along each side.

        Parameters
        ----------
        tension_n_per_cm : callable (places (n, 2)) -> (n, 2), tension in x and y
        """
        out = np.zeros(self.layout.count)
        for side in SIDES:
            width = self.layout.length_mm(side)
            s = np.linspace(0, 1, QUADRATURE)
            fixed = {"A": 0.0, "B": 1.0, "C": 1.0, "D": 0.0}[side]
            axis = OUTWARD[side][1]
            at = np.stack([s, 0 * s + fixed] if axis else [0 * s + fixed, s], axis=1)
            load = tension_n_per_cm(at)[:, axis] / 10 * _simpson(width)
            out[self.layout.columns(side)] = (
                shape_weights(self.layout.along(side), s * width).T @ load
            )
        return out

    def _bar(self, side: str, at: np.ndarray) -> np.ndarray:
        """Bar position of a side opposite each place, per mm at its bolts, (n, k)."""
        across = at[:, 1 - OUTWARD[side][1]] * self.layout.length_mm(side)
        return shape_weights(self.layout.along(side), across)


def bar_bending(layout: Layout) -> np.ndarray:
    """(bolts, bolts), N/mm: bending stiffness of the four bars at their bolts."""
    out = np.zeros((layout.count, layout.count))
    for side in SIDES:
        at = layout.columns(side)
        out[np.ix_(at, at)] = bending_matrix(layout.along(side), layout.bar.ei_n_mm2)
    return out


def _simpson(length: float) -> np.ndarray:
    """Simpson weights over QUADRATURE points."""
    weight = np.ones(QUADRATURE)
    weight[1:-1:2], weight[2:-1:2] = 4, 2
    return weight * length / (QUADRATURE - 1) / 3
