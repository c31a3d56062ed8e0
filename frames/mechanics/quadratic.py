"""Small strictly convex quadratic programs, answered in words as well as numbers."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from frames.wording import mark, say

WIDER = 1e-7
NO_ROW = 1e-10  # length of a row below which its unknowns do not matter
STATUS = {
    1: ("optimal", mark("Solved.")),
    -1: ("infeasible", mark("No turns satisfy all limits at once.")),
    -2: ("stalled", mark("The solver went round in circles; no plan is given.")),
    -3: ("unbounded", mark("The problem has no lowest point; a limit is missing.")),
    -4: ("stalled", mark("The solver ran out of steps; no plan is given.")),
    -5: ("nonconvex", mark("The problem is not strictly convex.")),
}


@dataclass(frozen=True)
class Program:
    """minimise 1/2 x'Hx + f'x  subject to  low <= x <= high, row_low <= Ax <= row_high.

    Parameters
    ----------
    h : (n, n) symmetric positive definite
    f, low, high : (n,)
    a : (m, n); row_low, row_high : (m,), infinite where there is no limit
    """

    h: np.ndarray
    f: np.ndarray
    low: np.ndarray
    high: np.ndarray
    a: np.ndarray
    row_low: np.ndarray
    row_high: np.ndarray


@dataclass(frozen=True)
class Solution:
    """Answer of `solve`: ``x`` (n,), status, message, ``value`` of the objective, and which bounds
    (n,) and rows (m,) hold it: +1 upper, -1 lower, 0 none."""

    x: np.ndarray
    status: str
    message: str
    bound_active: np.ndarray
    row_active: np.ndarray
    value: float

    @property
    def ok(self) -> bool:
        """Whether ``x`` is the optimum."""
        return self.status == "optimal"


def solve(program: Program, tolerance: float = 1e-10) -> Solution:
    """Solve a `Program` by the dual active-set method (daqp); exact up to rounding.

    >>> one = np.ones(1)
    >>> s = solve(Program(np.eye(1), -2 * one, 0 * one, one, np.empty((0, 1)), *[np.empty(0)] * 2))
    >>> s.x, s.bound_active, s.status
    (array([1.]), array([1]), 'optimal')
    """
    import daqp

    n = len(program.f)
    rows, row_low, row_high, matter = _of_length_one(program)
    upper, lower = np.concatenate([program.high, row_high]), np.concatenate([program.low, row_low])
    # daqp takes 1e30 as infinite and wants C-contiguous doubles it may overwrite
    upper, lower = np.minimum(upper, 1e30), np.maximum(lower, -1e30)
    h, f = np.array(program.h, order="C"), np.array(program.f, dtype=float)
    a = np.array(rows, dtype=float, order="C").reshape(-1, n)
    idle_low, idle_high = program.row_low[~matter], program.row_high[~matter]
    if np.any(lower > upper) or np.any(idle_low > NO_ROW) or np.any(idle_high < -NO_ROW):
        return _failed(program, -1)
    exact = {"primal_tol": tolerance, "dual_tol": 1e-13, "eps_prox": 0.0, "sing_tol": 1e-15}
    # badly scaled programs make the plain method cycle, and rows that nearly repeat each other look
    # infeasible to it: proximal steps and a wider tolerance reach the same optimum
    for settings in (exact, {"primal_tol": tolerance}, exact | {"primal_tol": WIDER}):
        x, value, flag, info = daqp.solve(h.copy(), f.copy(), a, upper, lower, **settings)
        if flag == 1:
            break
    if flag != 1:
        return _failed(program, int(flag))
    active = np.sign(np.where(np.abs(info["lam"]) > 1e-12, info["lam"], 0)).astype(int)
    row_active = np.zeros(len(matter), int)
    row_active[matter] = active[n:]
    status, message = STATUS[1]
    return Solution(np.asarray(x), status, say(message), active[:n], row_active, float(value))


def _of_length_one(program: Program) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """Rows of A and their ends scaled to length 1, and which rows those are.

    Rows that ask next to nothing are left out: the solver calls programs with such rows infeasible.
    """
    size = np.linalg.norm(program.a.reshape(-1, len(program.f)), axis=1)
    matter = size > NO_ROW
    kept = size[matter]
    rows = program.a[matter] / kept[:, None]
    return rows, program.row_low[matter] / kept, program.row_high[matter] / kept, matter


def _failed(program: Program, flag: int) -> Solution:
    n, m = len(program.f), len(program.row_low)
    status, message = STATUS.get(flag, ("stalled", say("The solver stopped with code {0}.", flag)))
    zeros = np.zeros(n, int), np.zeros(m, int)
    return Solution(np.full(n, np.nan), status, message, *zeros, float("nan"))
