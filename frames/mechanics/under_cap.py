"""Turns held back until the tension they leave, with its doubt, stays under the mesh's cap."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from .limits import neighbour_rows
from .quadratic import Program, Solution, solve
from .rounding import round_to_steps
from .state import State, after_turns
from .tension_program import TensionProgram, surely

TRIES = 4
SHARES = (0.75, 0.5, 0.25, 0.0)  # of the turns, where solving again does not help
NEAR_N_PER_CM = 1e-6


@dataclass(frozen=True)
class Draft:
    """A program, its solution, turns (bolts,) in whole steps, and the estimate after them."""

    built: TensionProgram
    answer: Solution
    turns: np.ndarray
    later: State


def draft(built: TensionProgram, answer: Solution, program: Program | None = None) -> Draft | None:
    """The solution in whole steps; None if no whole steps keep the limits.

    ``program`` is the one that was solved: the one that was built, if not given.
    """
    x = round_to_steps(program or built.program, built.state.bolt.step_turns, answer)
    return None if x is None else _with_turns(built, answer, built.spread(x))


def under_cap(first: Draft) -> Draft:
    """The same plan, or a smaller one whose tension stays under the cap.

    The program knows the doubt of today. Turning adds to it, rounding and loose bolts move the
    rest a little: what that comes to is taken off the room under the cap, and the plan is made
    again. Where that does not help the turns are scaled down, at last to none. So mean + 1.64 sd
    nowhere passes the higher of the cap and of what it is if nothing is turned.
    """
    found, margin = first, 0.0
    if _keeps_cap(found):
        return first
    idle = _with_turns(first.built, first.answer, 0 * first.turns)
    ceiling = np.maximum(first.built.limits.cap_n_per_cm, _after(idle))
    for _ in range(TRIES):
        grown = _after(found) - found.built.expected(found.turns)
        margin = np.maximum(margin, grown)
        tighter = first.built.under(ceiling - margin)
        answer = solve(tighter)
        again = draft(first.built, answer, tighter) if answer.ok else None
        if again is None:
            break
        found = again
        if _below(found, ceiling):
            return found
    return _scaled_down(found, ceiling)


def _with_turns(built: TensionProgram, answer: Solution, turns: np.ndarray) -> Draft:
    layout, limits = built.state.layout, built.limits
    later = after_turns(built.state, turns, limits.turnable(layout), limits.is_broken(layout))
    return Draft(built, answer, turns, later)


def _after(one: Draft) -> np.ndarray:
    """(n, 2) N/cm that the tension does not pass after the turns, at 95 %."""
    return surely(one.later, one.built.places)


def _keeps_cap(one: Draft) -> bool:
    cap = one.built.limits.cap_n_per_cm
    return cap is None or _below(one, np.full((1, 2), cap))


def _below(one: Draft, ceiling: np.ndarray) -> bool:
    return bool(np.all((_after(one) <= ceiling + NEAR_N_PER_CM)[:, one.built.known]))


def _scaled_down(found: Draft, ceiling: np.ndarray) -> Draft:
    step, limits = found.built.state.bolt.step_turns, found.built.limits
    apart, _ = neighbour_rows(found.built.state.layout, found.built.moving)
    for share in SHARES:
        less = np.trunc(found.turns * share / step + 1e-6 * np.sign(found.turns)) * step
        one = _with_turns(found.built, found.answer, less)
        close = np.all(np.abs(apart @ less) <= limits.neighbour_turns + 1e-9)
        if close and _below(one, ceiling):
            break
    return one
