"""Corners that have climbed above the rest: which end bolts to ease, and how far."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from frames.wording import mark, say, written

from .bar_moves import follow, holding_still
from .bolts import PER_TURN
from .limits import Limits
from .quadratic import Program, solve
from .rounding import round_to_steps
from .state import State
from .tension_program import UNKNOWN_N_PER_CM, Aim, surely

# in the order of `Layout.grid(2)`
CORNERS = ("D/A", "A/B", "C/D", "B/C")
WAYS = (mark("along A"), mark("across A"))
EFFORT = 0.02  # (N/cm)^2 for a turn squared: of two ways the shorter


@dataclass(frozen=True)
class Easing:
    """``turns_48ths`` of end bolts, all below zero; ``status`` ``"ease"``, ``"leave"`` or
    ``"blocked"``; ``message``; ``tight`` (corner, 0 along A or 1 across A, N/cm above the rest)."""

    turns_48ths: dict[str, int]
    status: str
    message: str
    tight: tuple[tuple[str, int, float], ...] = ()


def ease_corners(state: State, aim: Aim, limits: Limits) -> Easing:
    """Which end bolts to ease where a corner is tighter than the rest by more than the tolerance,
    or may pass the cap.

    The corners of the image, 80 mm from the locks, are held against the mean over the image by the
    estimate of readings and turns. End bolts are let off so that tight corners come down to the
    mean (least squares, all other corners staying) within the limits for loosening and for
    neighbours; all other bolts hold. Valid as far as the model and the latest readings are.

    >>> from .layout import Layout
    >>> from .cloth import Mesh
    >>> from .readings import Reading
    >>> from .state import after_readings, begin
    >>> from .strip import Strip
    >>> nine = [(u, v) for u in (0.1, 0.5, 0.9) for v in (0.1, 0.5, 0.9)]
    >>> read = [Reading(u, v, 16 + 5 * (v == 0.1), 16.0) for u, v in nine]
    >>> s = after_readings(begin(Strip(Layout.evenly(1000, 1000, 6, 6), Mesh(1090, 1090))), read)
    >>> sorted(ease_corners(s, Aim(20), Limits()).turns_48ths)
    ['B1', 'D6']
    """
    at = state.layout.grid(2)
    known = state.tension_sd([(0.5, 0.5)])[0] < UNKNOWN_N_PER_CM
    if not known.any():
        return Easing({}, "blocked", say("Read the middle and the corners first."))
    above = state.tension(at) - state.tension(state.layout.grid(9)).mean(axis=0)
    tight = above > aim.tolerance_n_per_cm
    if limits.cap_n_per_cm is not None:
        tight |= (surely(state, at) > limits.cap_n_per_cm) & (above > 0)
    tight &= known
    said = tuple((CORNERS[i], int(k), float(above[i, k])) for i, k in np.argwhere(tight))
    if not said:
        return Easing({}, "leave", say("No corner is tighter than the rest: leave them."))
    turns = _turns(state, limits, at, np.where(tight, above, 0.0), known)
    if not turns:
        return Easing({}, "blocked", _say(said, say("No end bolt can ease it.")), said)
    return Easing(turns, "ease", _say(said, say("Ease the end bolts shown.")), said)


def _turns(
    state: State, limits: Limits, at: np.ndarray, above: np.ndarray, known: np.ndarray
) -> dict[str, int]:
    """Turns that take off what is above, (4, 2) N/cm, in the directions known."""
    layout = state.layout
    ends = {name for name in layout.ends if len(layout.bolts[name[0]]) > 2}
    hold = replace(limits, seized=limits.seized | (set(layout.names) - ends), first_round=False)
    moving = hold.moving(layout)
    if not moving.any():
        return {}
    per_turn = follow(state, hold, holding_still(state, hold))
    m = (state.influence(at) @ per_turn)[:, known][:, :, moving].reshape(-1, int(moving.sum()))
    n, least = m.shape[1], -min(limits.loosen_turns, limits.neighbour_turns) * state.caution
    no_rows = np.empty((0, n)), np.empty(0), np.empty(0)
    h, f = m.T @ m + EFFORT * np.eye(n), m.T @ above[:, known].ravel()
    program = Program(h, f, np.full(n, least), np.zeros(n), *no_rows)
    answer = solve(program)
    x = round_to_steps(program, state.bolt.step_turns, answer) if answer.ok else None
    names = np.array(layout.names)[moving]
    whole = [] if x is None else zip(names, x, strict=True)
    return {str(name): round(t * PER_TURN) for name, t in whole if t}


def _say(tight: tuple[tuple[str, int, float], ...], then: str) -> str:
    parts = [
        say("Corner {0} is {1} N/cm above the rest {2}.", name, written(n, ".1f"), say(WAYS[axis]))
        for name, axis, n in tight
    ]
    return " ".join([*parts, then])
