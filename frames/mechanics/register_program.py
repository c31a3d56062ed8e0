"""The quadratic program behind a turn plan for register."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from .bar_moves import follow, waviness
from .faults import number
from .limits import Limits, neighbour_rows
from .marks import Mark
from .misfit import Roughness, expected_error
from .quadratic import Program
from .state import State

UNREAD_N_PER_CM = 6.0
NO_WORSE_N_PER_CM = 0.02  # far below what a meter shows


@dataclass(frozen=True)
class RegisterAim:
    """What a register plan may cost, and how it is weighed.

    tolerance_mm : register tolerance; tension_change_n_per_cm : most the tension may change
    anywhere in the image; band_n_per_cm : (low, high) of the screen, or None; move_mm : most the
    image may move anywhere with a stencil on; between : weight of the image against the marks;
    bending, effort : weights of bar waviness and of turning; factor : how much of the predicted
    movement this frame was seen to make; grid : n x n places of the image looked after.
    """

    tolerance_mm: float = 0.1
    tension_change_n_per_cm: float = 3.0
    band_n_per_cm: tuple[float, float] | None = None
    move_mm: float = 2.0
    between: float = 0.5
    bending: float = 0.003
    effort: float = 0.003
    factor: float = 1.0
    grid: int = 5
    roughness: Roughness = field(default_factory=Roughness)

    def __post_init__(self) -> None:
        number("tolerance_mm", self.tolerance_mm, 0.005, 10, "Enter the register tolerance in mm")
        number("tension_change_n_per_cm", self.tension_change_n_per_cm, 0.1, 30, "Enter N/cm")
        number("move_mm", self.move_mm, 0.01, 20, "Enter the most the image may move, in mm")
        number("factor", self.factor, 0.1, 3, "Enter the register factor")


@dataclass(frozen=True)
class RegisterProgram:
    """Program in the turns of ``moving`` bolts: marks and image towards zero error."""

    state: State
    aim: RegisterAim
    limits: Limits
    marks: Sequence[Mark]

    @cached_property
    def places(self) -> np.ndarray:
        """(n, 2) marks first, then a grid over the image."""
        at = np.array([(m.u, m.v) for m in self.marks])
        return np.concatenate([at, self.state.layout.grid(self.aim.grid)])

    @cached_property
    def error(self) -> np.ndarray:
        """(n, 2) expected error at the places, mm."""
        return expected_error(self.state.layout, self.marks, self.places, self.aim.roughness)

    @cached_property
    def per_turn(self) -> np.ndarray:
        """(bolts, bolts) bar movement per turn; bolts that stay keep their bar."""
        still = ~self.limits.moving(self.state.layout) & ~self.limits.is_broken(self.state.layout)
        return follow(self.state, self.limits, still)

    @cached_property
    def displacement(self) -> np.ndarray:
        """(n, 2, bolts) displacement per mm of bar."""
        return self.state.model.displacement(self.places) * self.aim.factor

    @cached_property
    def weight(self) -> np.ndarray:
        """(n, 1) weights: the marks together 1, the image together ``between``."""
        n, grid = len(self.marks), len(self.places) - len(self.marks)
        each = [np.full(n, 1 / n), np.full(grid, self.aim.between / grid)]
        return np.concatenate(each)[:, None]

    def rms(self, moved_mm: np.ndarray) -> tuple[float, float]:
        """Root mean square error, mm, at the marks (as measured) and over the image (expected)."""
        move = self.displacement @ moved_mm
        n = len(self.marks)
        measured = np.array([(m.dx_mm, m.dy_mm) for m in self.marks])
        at_marks = ((measured + move[:n]) ** 2).sum(axis=1).mean()
        image = ((self.error + move)[n:] ** 2).sum(axis=1).mean()
        return float(np.sqrt(at_marks)), float(np.sqrt(image))

    @cached_property
    def full(self) -> tuple[np.ndarray, ...]:
        """h, f, a, row_low, row_high over all bolts; columns are picked per trial."""
        m = self.displacement @ self.per_turn
        h = np.einsum("ni,nij,nik->jk", self.weight + 0 * self.error, m, m)
        f = np.einsum("ni,nij,ni->j", self.weight + 0 * self.error, m, self.error)
        wave = waviness(self.state, self.per_turn, in_mm=True)
        # a turn moves the image by about half a pitch: the scale of one unit of effort
        share = (self.state.bolt.pitch_mm / 2) ** 2 / self._sharers
        return h + self.aim.bending * wave + np.diag(self.aim.effort * share), f, *self._rows(m)

    @cached_property
    def _sharers(self) -> np.ndarray:
        layout = self.state.layout
        return np.array([max(1, len(layout.bolts[name[0]])) for name in layout.names], float)

    def _rows(self, m: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Neighbours, tension over the image, movement of the image."""
        layout = self.state.layout
        neighbours, _ = neighbour_rows(layout, self.limits.moving(layout))
        apart = np.full(len(neighbours), self.limits.neighbour_turns)
        image = layout.grid(self.aim.grid)
        tension = (self.state.influence(image) @ self.per_turn).reshape(-1, layout.count)
        low, high = self._tension_room(image)
        moves = m[len(self.marks) :].reshape(-1, layout.count)
        most = np.full(len(moves), self.aim.move_mm)
        a = np.concatenate([neighbours, tension, moves])
        return a, np.concatenate([-apart, low, -most]), np.concatenate([apart, high, most])

    def _tension_room(self, image: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        most = self.aim.tension_change_n_per_cm
        low, high = np.full((len(image), 2), -most), np.full((len(image), 2), most)
        read = self.state.tension_sd([(0.5, 0.5)])[0] < UNREAD_N_PER_CM
        if self.aim.band_n_per_cm is not None and read.any():
            now = self.state.tension(image)
            # a screen outside its band already must at least not get worse; without any room there
            # the limits would meet in a point, and rounding errors would choose the plan
            room_low = np.minimum(self.aim.band_n_per_cm[0] - now, -NO_WORSE_N_PER_CM)
            room_high = np.maximum(self.aim.band_n_per_cm[1] - now, NO_WORSE_N_PER_CM)
            low[:, read] = np.maximum(low, room_low)[:, read]
            high[:, read] = np.minimum(high, room_high)[:, read]
        return low.ravel(), high.ravel()

    def program(self, moving: np.ndarray) -> Program:
        """The program in the turns of the bolts marked in ``moving`` (bolts,)."""
        h, f, a, low, high = self.full
        n = int(moving.sum())
        top = np.full(n, self.limits.turns)
        bottom = np.full(n, -self.limits.loosen_turns)
        columns = a[:, moving]
        matter = np.abs(columns).sum(axis=1) > 0
        h_part = h[np.ix_(moving, moving)]
        return Program(h_part, f[moving], bottom, top, columns[matter], low[matter], high[matter])
