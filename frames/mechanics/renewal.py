"""When it is cheaper to take a mesh off in time than to print until it bursts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from frames.wording import say

from .faults import InputFault, number

LEAST_BURST = 5  # before a life is fitted to anything (common practice, no source)
STEPS = 2000
LONGEST = 6.0  # scales; beyond it next to none lives


@dataclass(frozen=True)
class Renewal:
    """``shape`` and ``scale`` of the Weibull life, in what was counted; ``age`` at which a mesh is
    best taken off, None where it is best left until it bursts; cost per unit counted ``best`` at
    that age and ``left`` to burst."""

    shape: float
    scale: float
    age: float | None
    best: float
    left: float


def weibull_life(lasted: Sequence[float], ended: Sequence[bool]) -> tuple[float, float] | None:
    """Shape and scale of a Weibull life by maximum likelihood, what still lives counted as long as
    it lived; None before `LEAST_BURST` have burst.

    >>> made = weibull_life([50, 80, 100, 120, 150, 90], [True] * 6)
    >>> made[0] > 2
    True
    """
    from scipy.stats import CensoredData, weibull_min

    count, over = np.asarray(lasted, float), np.asarray(ended, bool)
    if len(count) != len(over):
        raise InputFault("lasted", len(count), say("Give one life for every mesh."))
    over, count = over[count > 0], count[count > 0]
    if over.sum() < LEAST_BURST:
        return None
    data = CensoredData(uncensored=count[over], right=count[~over])
    shape, _, scale = weibull_min.fit(data, floc=0)
    return float(shape), float(scale)


def best_age(shape: float, scale: float, planned: float, burst: float) -> Renewal:
    """The age of least cost: (planned S(t) + burst (1 - S(t))) / mean life up to t.

    Parameters
    ----------
    shape, scale : of the Weibull life
    planned : cost of a mesh taken off in time and replaced
    burst : cost of one that burst, with what the stop cost

    Source: R. Barlow, F. Proschan, Mathematical Theory of Reliability, 1965, age replacement (from
    memory).

    >>> best_age(1.0, 1000, 50, 200).age is None
    True
    >>> round(best_age(3.0, 1000, 50, 200).age)
    555
    """
    number("shape", shape, 0.05, 100, "Enter the shape of the life")
    number("scale", scale, 1e-9, 1e12, "Enter the scale of the life")
    number("planned", planned, 0, 1e9, "Enter what a mesh costs")
    number(
        "burst", burst, planned, 1e9, "Enter what a burst mesh costs, no less than a planned one"
    )
    at = scale * LONGEST ** min(1, 3 / shape) * np.linspace(0, 1, STEPS + 1)
    lives = np.exp(-((at / scale) ** shape))
    step = at[1]
    reached = step * np.cumsum((lives[1:] + lives[:-1]) / 2)
    cost = (planned * lives[1:] + burst * (1 - lives[1:])) / reached
    first = int(cost.argmin())
    left = _until_burst(shape, scale, burst)
    if cost[first] >= left * (1 - 1e-3):
        return Renewal(shape, scale, None, left, left)
    return Renewal(shape, scale, float(at[first + 1]), float(cost[first]), left)


def _until_burst(shape: float, scale: float, burst: float) -> float:
    """Cost per unit where nothing is ever taken off in time: by the mean of the life."""
    from scipy.special import gamma

    return float(burst / (scale * gamma(1 + 1 / shape)))
