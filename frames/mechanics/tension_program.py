"""The quadratic program behind a turn plan for tension."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from .bar_moves import waviness
from .faults import number
from .limits import Limits, neighbour_rows
from .quadratic import Program
from .state import State

SURE = 1.645  # one-sided 95 %, two-sided 90 %
UNKNOWN_N_PER_CM = 6.0  # a direction whose level is less certain than this has not been read


@dataclass(frozen=True)
class Aim:
    """Target and tolerance, N/cm, and how the misses are weighed.

    ``bending`` weight of bar waviness; ``effort`` weight of turning at all; ``between`` weight of
    the image area against the reading places.
    """

    target_n_per_cm: float
    tolerance_n_per_cm: float = 1.5
    bending: float = 0.02
    effort: float = 0.005
    between: float = 1.0

    def __post_init__(self) -> None:
        number("target_n_per_cm", self.target_n_per_cm, 1, 150, "Enter the target in N/cm")
        number(
            "tolerance_n_per_cm", self.tolerance_n_per_cm, 0.1, 20, "Enter the tolerance in N/cm"
        )


def surely(state: State, places: np.ndarray) -> np.ndarray:
    """(n, 2) N/cm that the tension at places does not pass, with 95 % confidence."""
    return state.tension(places) + SURE * state.tension_sd(places)


@dataclass(frozen=True)
class TensionProgram:
    """Program in the turns of the bolts that move, with what is needed to read its answer.

    ``places`` (n, 2) reading places first, then the image grid; ``read`` how many are readings;
    ``per_turn`` (bolts, bolts) bar movement per turn, mm, see `bar_moves.follow`; ``ceiling``
    (n, 2) N/cm that mean + 1.64 sd, with today's doubt, must not pass: the cap, if not given.
    """

    state: State
    aim: Aim
    limits: Limits
    places: np.ndarray
    read: int
    per_turn: np.ndarray
    ceiling: np.ndarray | None = None

    def spread(self, x: np.ndarray) -> np.ndarray:
        """Turns of the moving bolts as (bolts,)."""
        out = np.zeros(len(self.moving))
        out[self.moving] = x
        return out

    def expected(self, turns: np.ndarray) -> np.ndarray:
        """(n, 2) N/cm not passed after turns (bolts,) at 95 %, with today's doubt."""
        return self._surely + self.influence @ self.per_turn @ turns

    @cached_property
    def moving(self) -> np.ndarray:
        """(bolts,) bool: the unknowns."""
        return self.limits.moving(self.state.layout)

    @cached_property
    def known(self) -> np.ndarray:
        """(2,) bool: directions whose level has been read."""
        sd = self.state.tension_sd([(0.5, 0.5)])[0]
        return sd < UNKNOWN_N_PER_CM

    @cached_property
    def now(self) -> np.ndarray:
        """(n, 2) estimated tension at the places, N/cm."""
        return self.state.tension(self.places)

    @cached_property
    def influence(self) -> np.ndarray:
        """(n, 2, bolts) change of tension per mm of bar."""
        return self.state.influence(self.places)

    @cached_property
    def wanted(self) -> np.ndarray:
        """(2,) tension to leave behind, N/cm: the target plus what the next round's rest takes."""
        return self.aim.target_n_per_cm * (1 + np.clip(self.state.mean[-2:], 0, 0.1))

    @cached_property
    def weight(self) -> np.ndarray:
        """(n, 2) weights: readings together 1, the image area together ``between``."""
        n, grid = self.read, len(self.places) - self.read
        each = np.concatenate([np.full(n, 1 / max(n, 1)), np.full(grid, self.aim.between / grid)])
        return each[:, None] * self.known[None, :]

    def miss(self, moved_mm: np.ndarray) -> float:
        """Weighted mean square miss, (N/cm)^2, after bars moved by (bolts,) mm."""
        gap = self.now + self.influence @ moved_mm - self.wanted
        return float(np.sum(self.weight * gap**2))

    @cached_property
    def program(self) -> Program:
        """The program itself."""
        m = (self.influence @ self.per_turn)[:, :, self.moving]
        gap = self.now - self.wanted
        h = np.einsum("ni,nij,nik->jk", self.weight, m, m)
        f = np.einsum("ni,nij,ni->j", self.weight, m, gap)
        wave = waviness(self.state, self.per_turn)[np.ix_(self.moving, self.moving)]
        h = h + self.aim.bending * wave + np.diag(self.aim.effort * self._effort[self.moving])
        a, low, high = self._rows(m)
        caution = self.state.caution
        top, bottom = self.limits.turns * caution, -self.limits.loosen_turns * caution
        n = int(self.moving.sum())
        return Program(h, f, np.full(n, bottom), np.full(n, top), a, low, high)

    @cached_property
    def _effort(self) -> np.ndarray:
        """(bolts,) squared tension per turn of a whole side, shared among its bolts."""
        layout, out = self.state.layout, np.zeros(self.state.layout.count)
        for side in layout.bolts:
            at, axis = layout.columns(side), 1 if side in "AC" else 0
            per_turn = self.state.strip.mesh.stiffness[axis][axis] * self.state.bolt.pitch_mm
            out[at] = (per_turn / layout.span_mm(side)) ** 2 / max(len(at), 1)
        return out

    @cached_property
    def pairs(self) -> list[tuple[str, str]]:
        """Neighbours whose difference is limited, in the order of the first rows."""
        return neighbour_rows(self.state.layout, self.moving)[1]

    @cached_property
    def _room(self) -> np.ndarray:
        """(n, 2) N/cm by which the tension may grow under the cap, or under what is given."""
        if self.ceiling is not None:
            return self.ceiling - self._surely
        # where the cap is already passed a plan must at least not add to it
        return np.maximum(self.limits.cap_n_per_cm - self._surely, 0.0)

    @cached_property
    def cap_places(self) -> np.ndarray:
        """(rows, 2) index of place and direction of each cap row, after the neighbour rows."""
        if self.limits.cap_n_per_cm is None:
            return np.empty((0, 2), int)
        reach = np.abs(self.influence @ self.per_turn) @ np.full(
            len(self.moving), self.limits.turns
        )
        return np.argwhere((reach > self._room) & self.known[None, :])

    @cached_property
    def _surely(self) -> np.ndarray:
        return surely(self.state, self.places)

    def _rows(self, m: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        neighbours, _ = neighbour_rows(self.state.layout, self.moving)
        neighbours = neighbours[:, self.moving]
        limit = np.full(len(neighbours), self.limits.neighbour_turns)
        at, axis = self.cap_places.T
        if not len(at):
            return neighbours, -limit, limit
        a = np.concatenate([neighbours, m[at, axis]])
        low = np.concatenate([-limit, np.full(len(at), -np.inf)])
        return a, low, np.concatenate([limit, self._room[at, axis]])
