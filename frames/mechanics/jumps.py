"""Jumps that no relaxation explains: found by comparing what the checks say with and without."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from frames.wording import mark

JUMP_SD = 4.0  # how large jumps are, N/cm
FREEDOM = 6.0  # as in pooling
# How many times likelier a jump must make the checks: jumps are rare and a false alarm costs trust.
EVIDENCE = 10.0


@dataclass(frozen=True)
class Shift:
    """A jump: ``index`` of the check that shows it, ``n_per_cm`` its size (up is positive),
    ``lasting``: the level stayed there; None while no later check can tell."""

    index: int
    n_per_cm: float
    lasting: bool | None


def columns_of(shifts: Sequence[Shift], seen: int, later: int = 0) -> np.ndarray:
    """(checks + later, shifts) what each jump moved; one check if it did not last.

    >>> columns_of([Shift(1, -3.0, True)], 2, 1).ravel()
    array([0., 1., 1.])
    """
    out = np.zeros((seen + later, len(shifts)))
    for column, shift in enumerate(shifts):
        end = shift.index + 1 if shift.lasting is False else seen + later
        out[shift.index : end, column] = 1
    return out


def next_shift(gap: np.ndarray, joint: np.ndarray, found: Sequence[Shift]) -> Shift | None:
    """The jump that makes the checks likeliest, if it does so by `EVIDENCE`.

    Parameters
    ----------
    gap : (checks,) tension less the usual one, N/cm
    joint : (checks, checks) its covariance, jumps found so far included
    found : those

    A jump adds J^2 v v' to the covariance, v being 1 where it moved the reading; the gain in the
    multivariate t likelihood has a closed form.

    >>> next_shift(np.array([0.1, -0.2, -4.1, -4.0]), 0.2 * np.eye(4), ()).index
    2
    """
    n = len(gap)
    tried = [Shift(i, 0.0, False) for i in range(1, n - 1)]
    tried += [Shift(i, 0.0, True) for i in range(1, n - 1)]
    tried += [Shift(n - 1, 0.0, None)] if n > 1 else []
    taken = {s.index for s in found}
    tried = [t for t in tried if t.index not in taken]
    if not tried:
        return None
    v = columns_of(tried, n)
    whole = np.linalg.solve(joint, np.column_stack([gap, v]))
    distance, pull = gap @ whole[:, 0], v.T @ whole[:, 0]
    stiff = np.einsum("ij,ij->j", v, whole[:, 1:]) + 1 / JUMP_SD**2
    less = distance - pull**2 / stiff
    power = (FREEDOM + n) / 2
    gain = power * np.log((FREEDOM + distance) / (FREEDOM + less))
    gain = gain - 0.5 * np.log(JUMP_SD**2 * stiff)
    best = int(gain.argmax())
    if gain[best] < np.log(EVIDENCE):
        return None
    return Shift(tried[best].index, float(pull[best] / stiff[best]), tried[best].lasting)


LOCAL_N_PER_CM = 2.0  # a spot that fell this much further than the mean points at one place
CAUSES = {
    "lock_slipped": mark("the mesh slipped in its lock"),
    "threads_burst": mark("threads burst"),
    "wrong_meter": mark("the meter is off, or another one was used"),
    "wrong_frame": mark("another frame was scanned"),
    "unlogged_turn": mark("bolts were turned and not logged"),
}


@dataclass(frozen=True)
class Signs:
    """What else is known of a jump.

    Parameters
    ----------
    meter_changed : another meter than at the check before
    meter_off : its next zero check showed that it was out
    worst_beyond_mean : how much further the worst spot moved than the mean, N/cm
    stencil_differs : read over a stencil where the log knows none, or the other way round
    label_scanned : the frame came from its label, so that another one is unlikely
    """

    meter_changed: bool = False
    meter_off: bool = False
    worst_beyond_mean: float = 0.0
    stencil_differs: bool = False
    label_scanned: bool = False


def likely_causes(shift: Shift, signs: Signs) -> tuple[str, ...]:
    """Keys of `CAUSES`, likeliest first (common practice, no source).

    >>> likely_causes(Shift(3, -4.0, True), Signs(worst_beyond_mean=3.0))
    ('lock_slipped', 'threads_burst')
    >>> likely_causes(Shift(3, 4.0, None), Signs(meter_changed=True))
    ('wrong_meter', 'unlogged_turn', 'wrong_frame')
    >>> likely_causes(Shift(3, 4.0, None), Signs(stencil_differs=True))
    ('wrong_frame', 'unlogged_turn', 'wrong_meter')
    """
    local = signs.worst_beyond_mean >= LOCAL_N_PER_CM
    if shift.lasting is False:
        order = ("wrong_frame", "wrong_meter")
    elif shift.n_per_cm > 0:
        order = ("unlogged_turn", "wrong_frame", "wrong_meter")
    elif local:
        order = ("lock_slipped", "threads_burst")
    else:
        order = ("lock_slipped", "unlogged_turn", "wrong_frame", "wrong_meter")
    if signs.label_scanned and not signs.stencil_differs:
        order = (*(c for c in order if c != "wrong_frame"), *({"wrong_frame"} & {*order}))
    if signs.stencil_differs:
        order = _first("wrong_frame", order)
    if (signs.meter_changed or signs.meter_off) and not local:
        order = _first("wrong_meter", order)
    return order


def _first(cause: str, order: tuple[str, ...]) -> tuple[str, ...]:
    return (cause, *(other for other in order if other != cause))
