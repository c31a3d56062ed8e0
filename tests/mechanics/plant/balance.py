"""Net, bars and bolts in balance, by Newton's method."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.linalg import cho_solve_banded, cholesky_banded
from threadpoolctl import ThreadpoolController

from .bars import bending
from .grid import Ints, widths
from .layouts import Layout
from .net import Net, Threads

Floats = NDArray[np.float64]
BOLT_N_PER_MM = 3e4  # a bolt with its thread and the wall it bears on
LOOSE_TRACE_N_PER_MM = 1.0
NEAR_ENOUGH_MM = 1e-5  # the last step still taken: what is left then is its square
MOST_STEPS = 80
STILL_GOOD = 0.4  # a factor is used again while each step is this share of the one before
# the systems are small: threads of the linear algebra only wait for each other
_ONE_THREAD = {"limits": 1, "user_api": "blas"}
_CONTROLLER = ThreadpoolController()


class NoBalance(RuntimeError):
    """Newton's method did not settle; the plant was asked for something absurd."""


@dataclass
class Bolts:
    """Where the bolts hold the bars: names, degrees of freedom, outward signs."""

    names: list[str]
    dofs: Ints
    signs: Floats

    def stand_out(self, flat: Floats) -> Floats:
        """How far out the bar stands at each bolt, mm."""
        return self.signs * flat[self.dofs]

    def pulls(self, flat: Floats, draws: Floats) -> Floats:
        """Force of each bolt, N: it pulls outward or hangs loose, and never pushes."""
        return BOLT_N_PER_MM * np.maximum(draws - self.stand_out(flat), 0.0)


@dataclass
class Factor:
    """A stiffness taken apart, good for further steps while the same bolts bear."""

    lower: Floats
    bears: NDArray[np.bool_]

    @classmethod
    def of(cls, band: Floats, bears: NDArray[np.bool_]) -> "Factor":
        return cls(cholesky_banded(band, lower=True, check_finite=False), bears)

    def step(self, forces: Floats, bears: NDArray[np.bool_]) -> Floats | None:
        """Newton's step; None if other bolts bear now."""
        if not np.array_equal(bears, self.bears):
            return None
        return -cho_solve_banded((self.lower, True), forces, check_finite=False)


class Frame:
    """What is solved: the net, four bars of given rigidity (N·mm²), an optional grip that
    keeps locked mesh from sliding along its bar (N/mm per mm)."""

    def __init__(self, layout: Layout, net: Net, rigidity: dict[str, float], grip: float) -> None:
        self.net = net
        grid = net.grid
        nodes = [grid.node_of(layout, name) for name in layout.names]
        axes = np.array([1 if name[0] in "AC" else 0 for name in layout.names])
        dofs = np.array([2 * grid.number[node] for node in nodes]) + axes
        signs = np.array([1.0 if name[0] in "BC" else -1.0 for name in layout.names])
        self.bolts = Bolts(layout.names, dofs, signs)
        self._fixed_band = sum(self._bar(side, rigidity[side], grip) for side in "ABCD")
        self._rows, self._columns, self._values = self._lower(self._fixed_band)

    def _bar(self, side: str, rigidity: float, grip: float) -> Floats:
        at, dofs, _ = self.net.grid.held(side)
        band = self.net.band
        rows, columns = np.broadcast_arrays(dofs[:, None], dofs[None, :])
        bent = bending(at, rigidity)
        near = bent != 0
        places = band.places(rows[near], columns[near])
        tangent = dofs + (1 if side in "BD" else -1)
        held = band.filled(band.places(tangent, tangent), grip * widths(at))
        return band.filled(places, bent[near]) + held

    @staticmethod
    def _lower(band: Floats) -> tuple[Ints, Ints, Floats]:
        down, columns = np.nonzero(band)
        return columns + down, columns, band[down, columns]

    def _bar_forces(self, flat: Floats) -> Floats:
        size = len(flat)
        low = np.bincount(self._rows, self._values * flat[self._columns], size)
        off = self._rows != self._columns
        return low + np.bincount(
            self._columns[off], self._values[off] * flat[self._rows[off]], size
        )

    def left_over(self, flat: Floats, draws: Floats) -> tuple[Floats, tuple[Threads, Threads]]:
        """Forces out of balance at each degree of freedom, N, and the state of the threads."""
        moved = self.shaped(flat)
        state = self.net.state(moved)
        forces = self.net.forces(moved, state) + self._bar_forces(flat)
        forces[self.bolts.dofs] -= self.bolts.signs * self.bolts.pulls(flat, draws)
        return forces, state

    def stiffness(self, flat: Floats, draws: Floats, state: tuple[Threads, Threads]) -> Floats:
        """Stiffness band with the bolts that bear now; loose ones keep a trace, so that a bar
        with no bolt bearing on the way to balance is not adrift."""
        band = self.net.stiffness(state) + self._fixed_band
        bears = draws >= self.bolts.stand_out(flat)
        band[0, self.bolts.dofs] += np.where(bears, BOLT_N_PER_MM, LOOSE_TRACE_N_PER_MM)
        return band

    def shaped(self, flat: Floats) -> Floats:
        """Displacements as (nx, ny, 2)."""
        grid = self.net.grid
        return np.stack([flat[grid.dofs(axis)] for axis in (0, 1)], axis=-1)

    def energy(self, flat: Floats, draws: Floats) -> float:
        """Energy stored in net, bars, grip and bolts, N·mm."""
        pulls = self.bolts.pulls(flat, draws)
        held = 0.5 * flat @ self._bar_forces(flat) + (pulls**2).sum() / (2 * BOLT_N_PER_MM)
        return self.net.energy(self.shaped(flat)) + float(held)

    @_CONTROLLER.wrap(**_ONE_THREAD)
    def solve(self, draws: Floats, start: Floats) -> Floats:
        """Displacements (2·nodes,) in balance with the bolts drawn this far out (mm)."""
        flat, kept, before = start.copy(), None, np.inf
        forces, state = self.left_over(flat, draws)
        for _ in range(MOST_STEPS):
            bears = draws >= self.bolts.stand_out(flat)
            step = kept and kept.step(forces, bears)
            if step is None or abs(step).max() > STILL_GOOD * before:
                kept = Factor.of(self.stiffness(flat, draws, state), bears)
                step = kept.step(forces, bears)
            before = abs(step).max()
            if before < NEAR_ENOUGH_MM:
                return flat + step
            flat, forces, state = self._along(flat, step, forces, draws)
        raise NoBalance(f"no balance after {MOST_STEPS} steps: {abs(forces).max():.3g} N left over")

    def _along(
        self, flat: Floats, step: Floats, forces: Floats, draws: Floats
    ) -> tuple[Floats, Floats, tuple[Threads, Threads]]:
        """Go along a step as far as the energy falls: its slope must not turn steeply upward."""
        low, high, slope_low, slope_high = 0.0, 1.0, forces @ step, 0.0
        share, steep = 1.0, 0.3 * abs(slope_low)
        for _ in range(12):
            there = flat + share * step
            forces, state = self.left_over(there, draws)
            slope = forces @ step
            if slope <= steep and (slope >= -steep or high == 1.0):
                break
            if slope > 0:
                high, slope_high = share, slope
            else:
                low, slope_low = share, slope
            part = slope_low / (slope_low - slope_high)
            share = low + (high - low) * min(max(part, 0.1), 0.9)
        return there, forces, state
