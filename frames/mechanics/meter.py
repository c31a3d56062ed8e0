"""Tension meters: how well they repeat, and whether their zero wanders."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from frames.wording import say

from .faults import InputFault, number

ZERO_LIMIT = 0.5  # N/cm a meter may show on glass before it is set again (common practice)
SURE = 0.95


@dataclass(frozen=True)
class Line:
    """Least-squares line: ``intercept``, ``slope``, sd of each, ``residual_sd``, ``r_squared``;
    ``freedom`` degrees of freedom left."""

    intercept: float
    slope: float
    intercept_sd: float
    slope_sd: float
    residual_sd: float
    r_squared: float
    freedom: int


def line(x: Sequence[float], y: Sequence[float]) -> Line:
    """Straight line through points, by orthogonal decomposition.

    >>> round(line([0, 1, 2], [1.0, 3.0, 5.0]).slope, 6)
    2.0
    """
    at, value = np.asarray(x, float), np.asarray(y, float)
    if len(at) != len(value) or len(at) < 3 or np.ptp(at) == 0:
        raise InputFault("x", len(at), say("Give at least three points, not all at one place."))
    columns = np.stack([np.ones(len(at)), at], axis=1)
    q, r = np.linalg.qr(columns)
    found = np.linalg.solve(r, q.T @ value)
    left = value - columns @ found
    freedom = len(at) - 2
    sd = float(np.sqrt(left @ left / freedom))
    doubt = sd * np.sqrt((np.linalg.inv(r) ** 2).sum(axis=1))
    total = ((value - value.mean()) ** 2).sum()
    r_squared = float(1 - left @ left / total) if total else 1.0
    return Line(
        float(found[0]), float(found[1]), float(doubt[0]), float(doubt[1]), sd, r_squared, freedom
    )


@dataclass(frozen=True)
class ZeroHistory:
    """``last`` zero, N/cm; ``per_30_days`` drift with ``low`` and ``high`` of its 95 % interval,
    None before the third check; ``word``: ``"good"``, ``"off"`` or ``"drifts"``."""

    last: float
    per_30_days: float | None
    low: float | None
    high: float | None
    word: str


def zero_history(
    days: Sequence[float], zeros_n_per_cm: Sequence[float], limit: float = ZERO_LIMIT
) -> ZeroHistory:
    """What the zero checks of a meter on glass say.

    A zero beyond the limit is ``off``; one that moves surely, and by the limit within 30 days,
    ``drifts``.

    >>> zero_history([0, 10, 20, 30], [0.0, 0.2, 0.3, 0.4]).word
    'good'
    >>> zero_history([0, 10, 20, 30], [0.0, 0.2, 0.4, 0.7]).word
    'off'
    """
    from scipy.special import stdtrit

    if not len(zeros_n_per_cm) or len(days) != len(zeros_n_per_cm):
        raise InputFault("zeros_n_per_cm", len(zeros_n_per_cm), say("Give one zero for every day."))
    last = number("zeros_n_per_cm", zeros_n_per_cm[-1], -50, 50, "Enter what it showed on glass")
    off = abs(last) > limit
    if len(days) < 3 or np.ptp(np.asarray(days, float)) == 0:
        return ZeroHistory(last, None, None, None, "off" if off else "good")
    fit = line(days, zeros_n_per_cm)
    reach = float(stdtrit(fit.freedom, 0.5 + SURE / 2)) * fit.slope_sd
    low, high = 30 * (fit.slope - reach), 30 * (fit.slope + reach)
    drifts = low * high > 0 and abs(30 * fit.slope) >= limit
    word = "off" if off else "drifts" if drifts else "good"
    return ZeroHistory(last, 30 * fit.slope, low, high, word)


def pooled_sd(groups: Sequence[Sequence[float]]) -> tuple[float, int]:
    """Repeatability from repeats at several places: sd within groups, degrees of freedom.

    >>> pooled_sd([[20.0, 20.5], [25.0, 25.0], [30.5, 30.0]])
    (0.28867513459481287, 3)
    """
    parts = [np.asarray(g, float) for g in groups if len(g) > 1]
    if not parts:
        raise InputFault("groups", len(groups), say("Read at least one place twice."))
    square = sum(float(((p - p.mean()) ** 2).sum()) for p in parts)
    return from_squares(square, sum(len(p) - 1 for p in parts))


def from_squares(square: float, freedom: int) -> tuple[float, int]:
    """The same from the sum of squares and its degrees of freedom."""
    return float(np.sqrt(square / freedom)), freedom
