"""Forces and stiffness of the net: threads in two directions, tied where they cross.

A thread segment of width w (the strip it stands for) and length h stretches by e and pulls
with w·E·pull(e). In every cell the taut strains of the two directions act on each other
(coupling · e_x · e_y per area: crimp goes from one direction to the other) and a small
shear stiffness stands for the friction of the crossings.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from .cloth import Cloth
from .grid import Grid, Ints, widths

Floats = NDArray[np.float64]


@dataclass
class Threads:
    """All segments of one direction at some displacement."""

    unit: Floats  # direction of each segment (…, 2)
    length: Floats
    strain: Floats
    taut: Floats
    slope: Floats
    bend: Floats
    force: Floats | None = None  # in each segment, N, and its growth with strain
    grows: Floats | None = None


class Band:
    """A symmetric matrix kept as its lower diagonals, filled by blocks."""

    def __init__(self, size: int, reach: int) -> None:
        self.size, self.reach = size, reach

    def places(self, rows: Ints, columns: Ints) -> Ints:
        """Flat places of entries; the upper half goes to a waste bin at the end."""
        down = rows - columns
        flat = down * self.size + columns
        return np.where(down >= 0, flat, (self.reach + 1) * self.size).ravel()

    def filled(self, places: Ints, values: Floats) -> Floats:
        room = (self.reach + 1) * self.size
        return np.bincount(places, values.ravel(), room + 1)[:room].reshape(-1, self.size)


class Net:
    """The mesh on a grid. `prestrain` per direction is the strain at zero displacement."""

    def __init__(self, grid: Grid, cloth: Cloth, prestrain: tuple[Floats, Floats]) -> None:
        self.grid, self.cloth = grid, cloth
        self.prestrain = list(prestrain)
        self.hx, self.hy = np.diff(grid.x), np.diff(grid.y)
        self.wx, self.wy = widths(grid.x), widths(grid.y)
        at = grid.number
        steps = (abs(np.diff(at, axis=0)).max(), abs(np.diff(at, axis=1)).max())
        # bars couple nodes two apart along either way
        self.band = Band(2 * grid.nodes, 4 * max(steps) + 1)

    # -- geometry -------------------------------------------------------------
    def threads(self, moved: Floats, axis: int) -> Threads:
        """Segments along x (0) or y (1) for displacements (nx, ny, 2) in mm."""
        rest = self.hx[:, None] if axis == 0 else self.hy[None, :]
        arrow = np.diff(moved, axis=axis)
        arrow[..., axis] += rest
        length = np.hypot(arrow[..., 0], arrow[..., 1])
        strain = length / rest - 1 + self.prestrain[axis]
        taut, slope, bend = self.cloth.taut(strain)
        return Threads(arrow / length[..., None], length, strain, taut, slope, bend)

    def cells(self, along_x: Threads, along_y: Threads) -> tuple[Floats, Floats]:
        """Mean taut strains in each cell, along x and along y."""
        ex = (along_x.taut[:, :-1] + along_x.taut[:, 1:]) / 2
        ey = (along_y.taut[:-1, :] + along_y.taut[1:, :]) / 2
        return ex, ey

    def pushed(self, threads: Threads, axis: int, other: Floats) -> tuple[Floats, Floats]:
        """Force in each segment (N) and its slope against strain, the crossing threads'
        taut strain per cell given."""
        force, slope = self.cloth.pull(threads.strain)
        if axis == 0:
            wide, stiff, gap = self.wy[None, :], self.cloth.ex, self.hy[None, :]
            share = np.pad(other * gap, ((0, 0), (1, 1)))
            push = self.cloth.coupling * (share[:, :-1] + share[:, 1:]) / 2
        else:
            wide, stiff, gap = self.wx[:, None], self.cloth.ey, self.hx[:, None]
            share = np.pad(other * gap, ((1, 1), (0, 0)))
            push = self.cloth.coupling * (share[:-1, :] + share[1:, :]) / 2
        return (
            wide * stiff * force + threads.slope * push,
            wide * stiff * slope + threads.bend * push,
        )

    # -- balance --------------------------------------------------------------
    def state(self, moved: Floats) -> tuple[Threads, Threads]:
        """Both sets of threads with the force in each segment at these displacements."""
        both = self.threads(moved, 0), self.threads(moved, 1)
        cells = self.cells(*both)
        for axis, threads in enumerate(both):
            threads.force, threads.grows = self.pushed(threads, axis, cells[1 - axis])
        return both

    def forces(self, moved: Floats, state: tuple[Threads, Threads]) -> Floats:
        """Nodal forces (2·nodes,) that the net resists with, N."""
        nodal = [self._nodal(threads, axis) for axis, threads in enumerate(state)]
        return self.shear_forces(moved) + nodal[0] + nodal[1]

    def stiffness(self, state: tuple[Threads, Threads]) -> Floats:
        """How these forces grow, as a band, N/mm."""
        values = [self._blocks(threads, axis).ravel() for axis, threads in enumerate(state)]
        values.append(self._crossing(*state).ravel())
        return self.band.filled(self._where, np.concatenate(values)) + self._shear

    def tension(self, moved: Floats) -> tuple[Floats, Floats]:
        """Tension in N/mm of width: (nx-1, ny) along x and (nx, ny-1) along y."""
        x, y = self.state(moved)
        return x.force / self.wy[None, :], y.force / self.wx[:, None]

    def energy(self, moved: Floats) -> float:
        """Stored energy, N·mm."""
        x, y = self.threads(moved, 0), self.threads(moved, 1)
        cells = self.cells(x, y)
        along_x = self.cloth.ex * self.cloth.stored(x.strain) * self.hx[:, None] * self.wy
        along_y = self.cloth.ey * self.cloth.stored(y.strain) * self.hy * self.wx[:, None]
        crossing = self.cloth.coupling * cells[0] * cells[1] * self.hx[:, None] * self.hy
        shear = 0.5 * self._flat(moved) @ self.shear_forces(moved)
        return float(along_x.sum() + along_y.sum() + crossing.sum() + shear)

    # -- pieces ---------------------------------------------------------------
    def _flat(self, moved: Floats) -> Floats:
        flat = np.empty(2 * self.grid.nodes)
        for axis in (0, 1):
            flat[self.grid.dofs(axis)] = moved[..., axis]
        return flat

    def _ends(self, axis: int) -> Ints:
        """The four degrees of freedom of each segment (segments, 4)."""
        at = self.grid.number
        first, last = (at[:-1], at[1:]) if axis == 0 else (at[:, :-1], at[:, 1:])
        ends = [2 * first, 2 * first + 1, 2 * last, 2 * last + 1]
        return np.stack([end.ravel() for end in ends], axis=1)

    def _nodal(self, threads: Threads, axis: int) -> Floats:
        along = (threads.force[..., None] * threads.unit).reshape(-1, 2)
        values = np.concatenate([-along, along], axis=1)
        return np.bincount(self._segment_ends[axis].ravel(), values.ravel(), 2 * self.grid.nodes)

    def _blocks(self, threads: Threads, axis: int) -> Floats:
        rest = self.hx[:, None] if axis == 0 else self.hy[None, :]
        along, string = threads.grows / rest, np.maximum(threads.force, 0.0) / threads.length
        outer = threads.unit[..., :, None] * threads.unit[..., None, :]
        block = (along - string)[..., None, None] * outer + string[..., None, None] * np.eye(2)
        signs = np.array([[1.0, -1.0], [-1.0, 1.0]])
        return np.einsum("ab,...ij->...aibj", signs, block).reshape(-1, 4, 4)

    def _crossing(self, along_x: Threads, along_y: Threads) -> Floats:
        """How x displacements of a cell act on y forces; small turns of threads left out,
        which costs Newton's method a step and no accuracy."""
        sx = np.stack([along_x.slope[:, :-1], along_x.slope[:, 1:]], axis=-1) / 2
        sy = np.stack([along_y.slope[:-1, :], along_y.slope[1:, :]], axis=-1) / 2
        values = self.cloth.coupling * sx[..., :, None] * sy[..., None, :]
        signs = np.array([[1.0, -1.0], [-1.0, 1.0]])
        block = np.einsum("...st,ab->...satb", values, signs).reshape(-1, 4, 4)
        return np.stack([block, np.swapaxes(block, 1, 2)], axis=1)

    @cached_property
    def _segment_ends(self) -> tuple[Ints, Ints]:
        return self._ends(0), self._ends(1)

    @cached_property
    def _cell_dofs(self) -> tuple[Ints, Ints]:
        """x dofs of a cell's two x segments (ends last minus first) and likewise y (cells, 4)."""
        at = self.grid.number
        a, b, c, d = at[:-1, :-1], at[1:, :-1], at[:-1, 1:], at[1:, 1:]
        x = np.stack([2 * n.ravel() for n in (b, a, d, c)], axis=1)
        y = np.stack([2 * n.ravel() + 1 for n in (c, a, d, b)], axis=1)
        return x, y

    @cached_property
    def _where(self) -> Ints:
        def pairs(rows: Ints, columns: Ints) -> Ints:
            shape = (*rows.shape, columns.shape[1])
            return self.band.places(
                np.broadcast_to(rows[:, :, None], shape),
                np.broadcast_to(columns[:, None, :], shape),
            )

        x, y = self._cell_dofs
        whole = np.stack([x, y], axis=1).reshape(-1, 4)
        other = np.stack([y, x], axis=1).reshape(-1, 4)
        ends = [pairs(each, each) for each in self._segment_ends]
        return np.concatenate([*ends, pairs(whole, other)])

    @cached_property
    def _shear_parts(self) -> tuple[Ints, Floats]:
        """Degrees of freedom (cells, 8) and the row of shear angle per cell (cells, 8)."""
        at = self.grid.number
        corners = [at[:-1, :-1], at[1:, :-1], at[:-1, 1:], at[1:, 1:]]
        dofs = np.stack([2 * n.ravel() + axis for n in corners for axis in (0, 1)], axis=1)
        hx, hy = (h.ravel() for h in np.broadcast_arrays(self.hx[:, None], self.hy[None, :]))
        x, y = 1 / (2 * hx), 1 / (2 * hy)
        row = np.stack([-y, -x, -y, x, y, -x, y, x], axis=1)
        return dofs, row * np.sqrt(self.cloth.shear * hx * hy)[:, None]

    @cached_property
    def _shear(self) -> Floats:
        dofs, row = self._shear_parts
        shape = (*dofs.shape, 8)
        places = self.band.places(
            np.broadcast_to(dofs[:, :, None], shape), np.broadcast_to(dofs[:, None, :], shape)
        )
        return self.band.filled(places, row[:, :, None] * row[:, None, :])

    def shear_forces(self, moved: Floats) -> Floats:
        """The shear part of the nodal forces."""
        dofs, row = self._shear_parts
        angle = (row * self._flat(moved)[dofs]).sum(axis=1)
        return np.bincount(dofs.ravel(), (row * angle[:, None]).ravel(), 2 * self.grid.nodes)
