"""Quadratic programs against a general-purpose solver, and their answers in words."""

import numpy as np
import pytest
from scipy.optimize import nnls

from frames.mechanics.quadratic import Program, solve

from .random_programs import random_program

AGREE = 1e-8


def by_least_distance(p: Program) -> np.ndarray | None:
    """The same program as Lawson and Hanson's least-distance problem, by scipy's nnls.

    With H = LL' and z = L'x + L^-1 f it asks for the shortest z with Gz >= h; that is the residual
    of one non-negative least squares problem.
    """
    lower = np.linalg.cholesky(p.h)
    n = len(p.f)
    rows = np.concatenate([np.eye(n), -np.eye(n), p.a, -p.a])
    bound = np.concatenate([p.low, -p.high, p.row_low, -p.row_high])
    g = np.linalg.solve(lower, rows.T).T
    h = bound + g @ np.linalg.solve(lower, p.f)
    stacked = np.vstack([g.T, h])
    target = np.zeros(n + 1)
    target[-1] = 1
    dual, _ = nnls(stacked, target, maxiter=10000)
    residual = stacked @ dual - target
    if abs(residual[-1]) < 1e-12:
        return None
    z = -residual[:-1] / residual[-1]
    return np.linalg.solve(lower.T, z - np.linalg.solve(lower, p.f))


@pytest.mark.parametrize("block", range(10))
def test_a_hundred_random_programs(block: int) -> None:
    for seed in range(100 * block, 100 * (block + 1)):
        program = random_program(seed)
        mine, other = solve(program), by_least_distance(program)
        if seed % 10 == 9 and len(program.row_low):
            assert mine.status == "infeasible", seed
            continue
        assert mine.ok, seed
        np.testing.assert_allclose(mine.x, other, atol=AGREE, err_msg=str(seed))


def test_the_multipliers_name_what_holds() -> None:
    program = Program(
        np.eye(2),
        np.array([-5.0, 0.0]),
        np.full(2, -1.0),
        np.full(2, 1.0),
        np.array([[0.0, 1.0]]),
        np.array([0.5]),
        np.array([np.inf]),
    )
    answer = solve(program)
    np.testing.assert_allclose(answer.x, [1, 0.5], atol=1e-9)
    assert answer.bound_active.tolist() == [1, 0]
    assert answer.row_active.tolist() == [-1]
    assert answer.value == pytest.approx(0.5 + 0.125 - 5)


def test_contradicting_limits_are_told_in_words() -> None:
    one = np.ones(1)
    row = np.array([[1.0]])
    answer = solve(Program(np.eye(1), -one, -one, one, row, np.array([2.0]), np.array([3.0])))
    assert answer.status == "infeasible"
    assert "limits" in answer.message
    assert np.isnan(answer.x).all()


def test_crossed_bounds_are_infeasible() -> None:
    none = np.empty((0, 1)), np.empty(0), np.empty(0)
    assert (
        solve(Program(np.eye(1), np.ones(1), np.ones(1), -np.ones(1), *none)).status == "infeasible"
    )


def test_a_hollow_problem_is_refused() -> None:
    none = np.empty((0, 2)), np.empty(0), np.empty(0)
    flat = Program(-np.eye(2), np.ones(2), np.full(2, -np.inf), np.full(2, np.inf), *none)
    assert not solve(flat).ok
