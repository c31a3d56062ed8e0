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
    ``per_turn`` (bolts, bolts) bar movement per turn, mm, see `bar_moves.follow`.
    """

    state: State
    aim: Aim
    limits: Limits
    places: np.ndarray
    read: int
    per_turn: np.ndarray

    def spread(self, x: np.ndarray) -> np.ndarray:
        """Turns of the moving bolts as (bolts,)."""
        out = np.zeros(len(self.moving))
        out[self.moving] = x
        return out

    def expected(self, turns: np.ndarray) -> np.ndarray:
        """(n, 2) N/cm not passed after turns (bolts,) at 95 %, with today's doubt."""
        return self._surely + self._change @ turns

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
        cap = self.limits.cap_n_per_cm
        # where the cap is already passed a plan must at least not add to it
        room = np.inf if cap is None else np.maximum(cap - self._surely, 0.0)
        return self._within(np.broadcast_to(room, self._surely.shape))

    def under(self, ceiling: np.ndarray) -> Program:
        """The program where mean + 1.64 sd, with today's doubt, must not pass (n, 2) N/cm."""
        return self._within(ceiling - self._surely)

    def _within(self, room: np.ndarray) -> Program:
        """The program with (n, 2) N/cm by which the tension may grow."""
        return Program(*self._goal, *self._rows(room))

    @cached_property
    def _change(self) -> np.ndarray:
        """(n, 2, bolts) change of tension per turn."""
        return self.influence @ self.per_turn

    @cached_property
    def _goal(self) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
        """What is to be least, h and f, and the bounds."""
        m = self._change[:, :, self.moving]
        gap = self.now - self.wanted
        h = np.einsum("ni,nij,nik->jk", self.weight, m, m)
        f = np.einsum("ni,nij,ni->j", self.weight, m, gap)
        wave = waviness(self.state, self.per_turn)[np.ix_(self.moving, self.moving)]
        h = h + self.aim.bending * wave + np.diag(self.aim.effort * self._effort[self.moving])
        caution = self.state.caution
        top, bottom = self.limits.turns * caution, -self.limits.loosen_turns * caution
        n = int(self.moving.sum())
        return h, f, np.full(n, bottom), np.full(n, top)

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
    def _surely(self) -> np.ndarray:
        return surely(self.state, self.places)

    def _rows(self, room: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Neighbours, then each place and direction whose room turns could use up."""
        neighbours, _ = neighbour_rows(self.state.layout, self.moving)
        neighbours = neighbours[:, self.moving]
        limit = np.full(len(neighbours), self.limits.neighbour_turns)
        reach = np.abs(self._change) @ np.full(len(self.moving), self.limits.turns)
        at, axis = np.nonzero((reach > room) & self.known[None, :])
        a = np.concatenate([neighbours, self._change[:, :, self.moving][at, axis]])
        low = np.concatenate([-limit, np.full(len(at), -np.inf)])
        return a, low, np.concatenate([limit, room[at, axis]])
