"""Measured stand-out of the bars at their bolts: where the bars are, whatever the log says."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from frames.wording import say

from .faults import InputFault, number
from .state import State

MEASURED_MM = 0.2  # sd of a rule or depth gauge on a bar


def reset(
    state: State,
    stand_out_mm: Mapping[str, float],
    at_lock_in_mm: Mapping[str, float] | float = 0.0,
) -> State:
    """The state with bar positions taken from measured stand-outs; the count is trusted again.

    The tension estimate stays: what the bars are now said to drive is taken from the estimate of
    unevenness, with the doubt of the measurement added. Bolts not measured are placed on the bar's
    least-energy shape through those measured on their side.

    Parameters
    ----------
    stand_out_mm : bolt -> how far the bar stands out there, mm; at least two on a side
    at_lock_in_mm : the same when the mesh was locked in, by bolt or one number for all

    >>> from .cloth import Mesh
    >>> from .layout import Layout
    >>> from .state import begin
    >>> from .strip import Strip
    >>> s = begin(Strip(Layout.evenly(1000, 1000, 2, 2), Mesh(1000, 1000)))
    >>> reset(s, {"A1": 3.0, "A2": 3.5}).bar_mm[:2]
    array([3. , 3.5])
    """
    layout = state.layout
    bar, known = state.bar_mm.copy(), np.zeros(layout.count, bool)
    for name, value in stand_out_mm.items():
        i = layout.index(name)
        stands = number(f"stand_out_mm.{name}", value, -50, 100, "Enter mm the bar stands out")
        start = at_lock_in_mm if isinstance(at_lock_in_mm, int | float) else at_lock_in_mm[name]
        bar[i], known[i] = stands - start, True
    sides = [s for s in layout.bolts if known[layout.columns(s)].any()]
    for side in sides:
        at = layout.columns(side)
        if known[at].sum() < min(2, len(at)):
            raise InputFault("stand_out_mm", side, say("Measure at least two bolts of this side."))
        bar[at] = _through(state, at, bar, known)
    if not sides:
        raise InputFault("stand_out_mm", "none", say("Measure at least two bolts of one side."))
    return _carry_over(state, bar, known)


def _through(state: State, at: np.ndarray, bar: np.ndarray, known: np.ndarray) -> np.ndarray:
    """Bar of one side through its measured bolts, with the least bending."""
    k = state.strip.bending[np.ix_(at, at)]
    k = k + 1e-9 * np.trace(k) * np.eye(len(at)) + 1e-9 * np.eye(len(at))
    fixed, out = known[at], bar[at].copy()
    if not fixed.all():
        free = ~fixed
        out[free] = -np.linalg.solve(k[np.ix_(free, free)], k[np.ix_(free, fixed)] @ out[fixed])
    return out


def _carry_over(state: State, bar: np.ndarray, known: np.ndarray) -> State:
    grid, k = state.layout.grid(7), state.basis.size
    influence = state.influence(grid)
    before, after = influence @ state.bar_mm, influence @ bar
    mean, noise = state.mean.copy(), np.zeros((len(state.mean), state.layout.count))
    for axis in (0, 1):
        block = slice(axis * k, (axis + 1) * k)
        mean[block] += state.basis.project(grid, (before - after)[:, axis], axis)
        noise[block] = state.basis.project(grid, influence[:, axis], axis)
    error = np.where(known, MEASURED_MM, 2 * MEASURED_MM)
    covariance = state.covariance + (noise * error**2) @ noise.T
    return replace(
        state, mean=mean, covariance=covariance, bar_mm=bar, draw_mm=bar.copy(), trusted=True
    )
