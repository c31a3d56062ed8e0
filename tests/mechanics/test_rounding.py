"""Whole steps: feasible, close to optimal, ties to the lower bolt."""

from dataclasses import replace
from itertools import product

import numpy as np
import pytest

from frames.mechanics.quadratic import Program, solve
from frames.mechanics.rounding import round_to_steps

from .random_programs import random_program

STEP = 0.125


def value(p: Program, x: np.ndarray) -> float:
    return float(0.5 * x @ p.h @ x + p.f @ x)


def feasible(p: Program, x: np.ndarray) -> bool:
    inside = np.all(x >= p.low - 1e-9) and np.all(x <= p.high + 1e-9)
    rows = p.a @ x
    return bool(inside and np.all(rows >= p.row_low - 1e-6) and np.all(rows <= p.row_high + 1e-6))


@pytest.mark.parametrize("seed", [s for s in range(60) if s % 10 != 9])
def test_whole_steps_keep_every_limit(seed: int) -> None:
    program = random_program(seed)
    x = round_to_steps(program, STEP, solve(program))
    if x is None:  # may happen: a narrow room can hold no whole step
        return
    np.testing.assert_allclose(x / STEP, np.round(x / STEP), atol=1e-9)
    assert feasible(program, x)


@pytest.mark.parametrize("seed", range(8))
def test_close_to_the_best_whole_steps(seed: int) -> None:
    r = np.random.default_rng(seed)
    root = r.normal(size=(4, 4))
    none = np.empty((0, 4)), np.empty(0), np.empty(0)
    h = root @ root.T + np.eye(4) * 0.3
    program = Program(h, r.normal(size=4), np.full(4, -0.5), np.full(4, 0.5), *none)
    x = round_to_steps(program, 0.25, solve(program))
    grid = np.array(list(product(np.arange(-2, 3) * 0.25, repeat=4)))
    best = min(value(program, g) for g in grid)
    start = value(program, np.zeros(4))
    assert value(program, x) - best <= 0.1 * (start - best) + 1e-9


def test_ties_go_to_the_lower_bolt() -> None:
    """Two bolts share 3/16 of a turn, step an eighth: the first is rounded, the second makes up."""
    none = np.empty((0, 2)), np.empty(0), np.empty(0)
    h = np.ones((2, 2)) + 1e-3 * np.eye(2)
    program = Program(h, -np.full(2, 0.375), np.full(2, -1.0), np.ones(2), *none)
    x = round_to_steps(program, STEP, solve(program))
    assert x.tolist() == [0.125, 0.25]


def test_no_whole_step_inside_the_limits_is_said() -> None:
    program = random_program(0)
    narrow = replace(program, low=program.low * 0 + 0.01, high=program.low * 0 + 0.02)
    assert round_to_steps(narrow, STEP, solve(program)) is None
