"""Bolts pull and never push: where the bars come to rest, which bolts hang loose, nipping up."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from frames.wording import say

GROUND_N_PER_MM = 1e-5
FORCE_TOLERANCE = 1e-9  # of the largest force
LOOSE_MM = 0.01  # a bolt this far from its bar turns freely between the fingers


@dataclass(frozen=True)
class Settled:
    """Where the bars rest.

    ``bar_mm`` (bolts,) outward position of the bar at each bolt; ``force_n`` (bolts,) pull of each
    bolt, never negative; ``loose`` names of bolts that do not bear; ``energy_n_mm`` stored energy;
    ``status`` and ``message`` of the solver.
    """

    bar_mm: np.ndarray
    force_n: np.ndarray
    loose: tuple[str, ...]
    energy_n_mm: float
    status: str
    message: str


def settle(
    stiffness: np.ndarray,
    pull: np.ndarray,
    draw_mm: np.ndarray,
    names: Iterable[str],
    held: np.ndarray | None = None,
) -> Settled:
    """Bars at rest on one-way bolts.

    Minimises 1/2 w'Sw + p'w subject to w >= draw: a bolt stops the bar from going further in than
    its draw, and lets it go out. The multipliers are the bolt forces: each is
    zero or its bolt bears.

    Parameters
    ----------
    stiffness : (bolts, bolts) N/mm, of bars and mesh together
    pull : (bolts,) N, inward force at w = 0
    draw_mm : (bolts,) where each bolt stops its bar, mm outward
    names : bolt names
    held : (bolts,) bool; a broken bolt does not hold (default: all hold)

    >>> s = settle(np.eye(2), np.array([3.0, -1.0]), np.zeros(2), ["A1", "A2"])
    >>> s.bar_mm, s.force_n, s.loose
    (array([0.     , 0.99999]), array([3., 0.]), ('A2',))
    """
    names, n = tuple(names), len(draw_mm)
    holds = np.ones(n, bool) if held is None else held
    # all bars moving together strain nothing: a breath of a spring makes the answer unique
    s = (stiffness + stiffness.T) / 2 + GROUND_N_PER_MM * np.eye(n)
    lift = _lift(s, pull + s @ draw_mm, holds)
    if lift is None:
        nothing = np.full(n, np.nan)
        return Settled(nothing, nothing, (), np.nan, "stalled", say("No rest position was found."))
    w = lift + draw_mm
    force = np.where(holds & (lift <= 0), s @ w + pull, 0.0)
    loose = tuple(
        k for k, gap, h in zip(names, w - draw_mm, holds, strict=True) if h and gap > LOOSE_MM
    )
    energy = float(0.5 * w @ stiffness @ w + pull @ w)
    return Settled(w, np.maximum(force, 0), loose, energy, "optimal", _say(loose))


def _lift(s: np.ndarray, g: np.ndarray, holds: np.ndarray) -> np.ndarray | None:
    """How far the bar stands beyond each draw: minimises 1/2 y'Sy + g'y, y >= 0 where a bolt holds.

    Lawson and Hanson's active set on S itself, with a tolerance in newtons: bars are a million
    times stiffer in some shapes than in others, and bolts that just bear are the rule: general
    solvers take both badly.
    """
    tolerance = FORCE_TOLERANCE * max(1.0, float(np.abs(g).max()))
    y, off = np.zeros(len(g)), ~holds
    y[off] = np.linalg.solve(s[np.ix_(off, off)], -g[off])
    for _ in range(10 * len(g)):
        push = np.where(off, -np.inf, -(s @ y + g))
        worst = int(np.argmax(push))
        if push[worst] <= tolerance:
            return y
        off[worst] = True
        y = _back_to_feasible(s, g, y, off, holds)
    return None


def _back_to_feasible(
    s: np.ndarray, g: np.ndarray, y: np.ndarray, off: np.ndarray, holds: np.ndarray
) -> np.ndarray:
    """Solve on the bolts in ``off``; those whose bar would pass inside its draw bear again."""
    while True:
        goal = np.zeros(len(g))
        goal[off] = np.linalg.solve(s[np.ix_(off, off)], -g[off])
        stop = off & holds & (goal <= 0)
        if not stop.any():
            return goal
        share = min(1.0, (y[stop] / np.maximum(y[stop] - goal[stop], 1e-300)).min())
        y = y + share * (goal - y)
        off &= ~(stop & (y <= 1e-12))
        y[~off] = 0


def nip_up(draw_mm: np.ndarray, bar_mm: np.ndarray, turnable: np.ndarray) -> np.ndarray:
    """Draws after nipping up, (bolts,): a loose bolt that can be turned is taken up until it bears.

    >>> nip_up(np.zeros(3), np.array([0.0, 0.4, 0.4]), np.array([True, True, False]))
    array([0. , 0.4, 0. ])
    """
    return np.where(turnable, np.maximum(draw_mm, bar_mm), draw_mm)


def _say(loose: tuple[str, ...]) -> str:
    return say("Loose: {0}. Nip up.", ", ".join(loose)) if loose else say("All bolts bear.")
