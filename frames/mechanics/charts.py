"""Shewhart's charts of how checks depart from the forecast curve.

A relaxing mesh is a trend, not a stable process, so what is charted is never raw tension but each
check less its forecast from the checks before it, over its standard deviation.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from frames.wording import mark, say

from .faults import InputFault, number
from .forecasting import Forecast
from .pooling import Pool
from .relaxation import Segment


@lru_cache(maxsize=32)
def range_constants(n: int) -> tuple[float, float]:
    """d2 and d3: mean and sd of the range of n standard normal values, by integration.

    >>> [round(v, 3) for v in range_constants(2)]
    [1.128, 0.853]
    """
    from scipy.special import ndtr

    number("n", n, 2, 25, "Enter the size of a group")
    nodes, weights = np.polynomial.legendre.leggauss(120)
    w, weights = 7 * (nodes + 1), 7 * weights
    x = np.linspace(-9, 9, 721)
    density = np.exp(-(x**2) / 2) / np.sqrt(2 * np.pi)
    within = (ndtr(x + w[:, None]) - ndtr(x)) ** (n - 1)
    beyond = 1 - n * (within @ density) * (x[1] - x[0])
    mean, square = float(weights @ beyond), float(2 * (weights * w) @ beyond)
    return mean, float(np.sqrt(square - mean**2))


def c4(n: int) -> float:
    """Mean of the standard deviation of n standard normal values.

    >>> round(c4(5), 4)
    0.94
    """
    from scipy.special import gammaln

    number("n", n, 2, 1000, "Enter the size of a group")
    return float(np.sqrt(2 / (n - 1)) * np.exp(gammaln(n / 2) - gammaln((n - 1) / 2)))


def factors(n: int) -> dict[str, float]:
    """Factors of Shewhart's charts for groups of n: A2, A3, B3, B4, D3, D4, beside d2, d3, c4.

    >>> round(factors(5)["A2"], 3), round(factors(2)["D4"], 3)
    (0.577, 3.267)
    """
    d2, d3 = range_constants(n)
    c = c4(n)
    wide = 3 * np.sqrt(1 - c**2) / c
    return {
        "A2": float(3 / (d2 * np.sqrt(n))),
        "A3": float(3 / (c * np.sqrt(n))),
        "B3": float(max(1 - wide, 0)),
        "B4": float(1 + wide),
        "D3": max(1 - 3 * d3 / d2, 0.0),
        "D4": 1 + 3 * d3 / d2,
        "d2": d2,
        "d3": d3,
        "c4": c,
    }


@dataclass(frozen=True)
class Chart:
    """Individuals and moving range: ``centre``, ``low``, ``high`` limits, ``sigma``,
    ``mean_range``, ``range_limit``; ``signals``: (index, name of the run rule)."""

    centre: float
    low: float
    high: float
    sigma: float
    mean_range: float
    range_limit: float
    signals: tuple[tuple[int, str], ...]


def individuals(values: Sequence[float]) -> Chart:
    """Chart of single values and of their moving range of two, with the run rules.

    >>> c = individuals([49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1])
    >>> round(c.low, 2), round(c.high, 2)
    (45.82, 55.8)
    """
    x = np.asarray(values, float)
    if x.ndim != 1 or len(x) < 2 or not np.all(np.isfinite(x)):
        raise InputFault("values", len(np.atleast_1d(x)), say("Give at least two values."))
    ranges = np.abs(np.diff(x))
    centre, mean_range = float(x.mean()), float(ranges.mean())
    sigma = mean_range / range_constants(2)[0]
    limit = factors(2)["D4"] * mean_range
    signals = run_rules((x - centre) / sigma) if sigma else ()
    jerks = np.flatnonzero(ranges > limit) + 1
    wild = tuple((int(i), say("moving range beyond its limit")) for i in jerks)
    return Chart(
        centre, centre - 3 * sigma, centre + 3 * sigma, sigma, mean_range, limit, (*signals, *wild)
    )


DRIFT = mark("smoothed value beyond its limits")


@dataclass(frozen=True)
class Smoothed:
    """Exponentially weighted moving average: ``values`` (n,), its limits ``low`` and ``high``, and
    ``beyond``, where it is outside them."""

    values: np.ndarray
    low: float
    high: float
    beyond: tuple[int, ...]


def ewma(
    values: Sequence[float], centre: float, sigma: float, weight: float = 0.3, reach: float = 3.0
) -> Smoothed:
    """Average that forgets, for shifts too small for single points: z = w x + (1 - w) z before.

    Parameters
    ----------
    values : (n,) in order of time
    centre, sigma : what is usual, and its standard deviation
    weight : of the newest value, above 0 and up to 1
    reach : of the limits, in standard deviations of the average long after its start

    >>> ewma([0.5] * 8, 0, 1).beyond, ewma([1.5] * 8, 0, 1).beyond
    ((), (5, 6, 7))
    """
    number("sigma", sigma, 1e-12, 1e9, "Enter the standard deviation")
    number("weight", weight, 1e-6, 1, "Enter the weight of the newest value")
    told, last = [], centre
    for value in values:
        last = weight * value + (1 - weight) * last
        told.append(last)
    wide = reach * sigma * float(np.sqrt(weight / (2 - weight)))
    path = np.array(told)
    beyond = tuple(int(i) for i in np.flatnonzero(np.abs(path - centre) > wide))
    return Smoothed(path, centre - wide, centre + wide, beyond)


def run_rules(z: Sequence[float]) -> tuple[tuple[int, str], ...]:
    """Where which rule speaks: (index, name), by the eight tests of special causes.

    Parameters
    ----------
    z : values less their centre over their standard deviation

    Source: L. Nelson, The Shewhart control chart - tests for special causes, Journal of Quality
    Technology 16, 1984 (from memory); the first, fifth, sixth and a shorter second are the Western
    Electric rules.

    >>> run_rules([0.1, -0.2, 3.4])
    ((2, 'one point beyond 3 sigma'),)
    """
    x = np.asarray(z, float)
    out = []
    for name, length, speaks in RULES:
        windows = range(length, len(x) + 1)
        out += [(end - 1, name) for end in windows if speaks(x[end - length : end])]
    return tuple(sorted(out))


def _beyond(x: np.ndarray, sigma: float, count: int) -> bool:
    """The last one and ``count`` in all beyond, all on one side."""
    return any(s * x[-1] > sigma and (s * x > sigma).sum() >= count for s in (1, -1))


def _one_side(x: np.ndarray) -> bool:
    return bool(np.all(x > 0) or np.all(x < 0))


def _trend(x: np.ndarray) -> bool:
    step = np.diff(x)
    return bool(np.all(step > 0) or np.all(step < 0))


def _up_and_down(x: np.ndarray) -> bool:
    step = np.diff(x)
    return bool(np.all(step[1:] * step[:-1] < 0))


def _within(x: np.ndarray) -> bool:
    return bool(np.all(np.abs(x) < 1))


def _avoiding(x: np.ndarray) -> bool:
    return bool(np.all(np.abs(x) > 1))


RULES: tuple[tuple[str, int, Callable[[np.ndarray], bool]], ...] = (
    (mark("one point beyond 3 sigma"), 1, lambda x: _beyond(x, 3, 1)),
    (mark("nine points in a row on one side of the centre"), 9, _one_side),
    (mark("six points in a row rising or falling"), 6, _trend),
    (mark("fourteen points in a row alternating up and down"), 14, _up_and_down),
    (mark("two of three points beyond 2 sigma on one side"), 3, lambda x: _beyond(x, 2, 2)),
    (mark("four of five points beyond 1 sigma on one side"), 5, lambda x: _beyond(x, 1, 4)),
    (mark("fifteen points in a row within 1 sigma"), 15, _within),
    (mark("eight points in a row beyond 1 sigma on both sides"), 8, _avoiding),
)


def residuals(segment: Segment, pool: Pool) -> np.ndarray:
    """(checks,) each check less its forecast from those before it, over its sd; the first less the
    shop's usual curve.

    >>> from .pooling import before_any_log
    >>> from .relaxation import Seen
    >>> s = Segment("90-48", 22, 0, [Seen(0.2, 24.0), Seen(16, 22.5), Seen(40, 18.0)])
    >>> bool(residuals(s, before_any_log())[2] < -3)
    True
    """
    out = []
    for i, check in enumerate(segment.seen):
        before = Forecast(replace(segment, seen=segment.seen[:i]), pool)
        made = sum(count for at, count in segment.printed if at <= check.at_h)
        rows = before.moments(check.at_h, made, check.coated, check.meter)
        mean, scale, _ = before.given(rows)
        out.append((check.n_per_cm - mean[0]) / np.sqrt(scale[0, 0] + check.sd**2))
    return np.array(out)
