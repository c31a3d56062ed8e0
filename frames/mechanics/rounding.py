"""Turns in whole steps: round one bolt at a time and let the others make up for it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from .quadratic import Program, Solution, solve

NEAR = 1e-6  # of a step: already whole, or as near as another
DIGITS = 6  # the same, to compare distances by


def round_to_steps(program: Program, step: float, first: Solution) -> np.ndarray | None:
    """A feasible point of the program with every unknown a whole number of steps, close to optimal.

    The unknown nearest to a whole step is fixed first, ties (to 1e-6 of a step) to the lower
    number, halves towards zero; the rest is solved again. Hard limits are never broken: where the
    nearer step leaves no solution the other one is tried, and where that leads nowhere every
    unknown is taken down towards zero, or to zero.

    Parameters
    ----------
    program : the program; its bounds are tightened to whole steps first
    step : size of a step, in the unknown's unit
    first : its solution without rounding

    Returns
    -------
    (n,) the rounded point, or None if no whole steps satisfy the limits
    """
    low = np.ceil(program.low / step - 1e-9) * step
    high = np.floor(program.high / step + 1e-9) * step
    if np.any(low > high + NEAR * step):
        return None
    whole_ends = program = replace(program, low=low, high=high)
    x, open_ = first.x, high - low > NEAR * step
    while np.any(open_):
        part = x / step
        distance = np.where(open_, np.abs(part - np.round(part)), np.inf)
        # whole ones go together, otherwise one at a time; argmin breaks ties to the lower bolt
        chosen = np.flatnonzero(distance < NEAR)
        chosen = chosen if len(chosen) else np.array([int(np.argmin(np.round(distance, DIGITS)))])
        program, x = _fix(program, chosen, x, step)
        if x is None:
            return _towards_zero(whole_ends, first.x, step)
        open_ = program.high - program.low > NEAR * step
    return np.round(program.low / step) * step


def whole(part: np.ndarray) -> np.ndarray:
    """The nearest whole numbers, halves (to 1e-6) towards zero.

    >>> whole(np.array([0.6, 2.5, -2.5000001]))
    array([ 1.,  2., -2.])
    """
    return np.sign(part) * np.ceil(np.abs(part) - 0.5 - NEAR)


def _fix(
    program: Program, chosen: np.ndarray, x: np.ndarray, step: float
) -> tuple[Program, np.ndarray | None]:
    """Fix the chosen unknowns at the nearer feasible step and solve for the rest."""
    part = x[chosen] / step
    nearest = whole(part)
    other = np.where(part > nearest, nearest + 1, nearest - 1)
    for candidate in (nearest, other):
        value = np.clip(candidate * step, program.low[chosen], program.high[chosen])
        low, high = program.low.copy(), program.high.copy()
        low[chosen] = high[chosen] = value
        trial = replace(program, low=low, high=high)
        answer = _solve_free(trial)
        if answer is not None:
            return trial, answer
    return program, None


def _towards_zero(program: Program, x: np.ndarray, step: float) -> np.ndarray | None:
    """The steps passed on the way to x, or none at all, if that satisfies the limits."""
    for down in (np.trunc(x / step + NEAR * np.sign(x)) * step, 0 * x):
        point = np.clip(down, program.low, program.high)
        made = program.a @ point
        slack = 1e-9 * (1 + np.abs(made))
        if np.all(made <= program.row_high + slack) and np.all(made >= program.row_low - slack):
            return point
    return None


def _solve_free(program: Program) -> np.ndarray | None:
    """Solve with the fixed unknowns taken out, so that the program stays small."""
    fixed = program.high - program.low <= 0
    x = program.low.copy()
    moved = program.a[:, fixed] @ x[fixed]
    slack = 1e-9 * (1 + np.abs(moved))
    if np.all(fixed):
        ok = np.all(moved <= program.row_high + slack) and np.all(moved >= program.row_low - slack)
        return x if ok else None
    free = ~fixed
    small = Program(
        program.h[np.ix_(free, free)],
        program.f[free] + program.h[np.ix_(free, fixed)] @ x[fixed],
        program.low[free],
        program.high[free],
        program.a[:, free],
        program.row_low - moved - slack,
        program.row_high - moved + slack,
    )
    answer = solve(small)
    if not answer.ok:
        return None
    x[free] = answer.x
    return x
