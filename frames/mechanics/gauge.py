"""How much of what a tension meter shows is the meter and the hand."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from frames.wording import say

from .faults import InputFault

# 1/d2* of the average-and-range method, by trials (K1), people (K2) and places (K3)
K1 = {2: 0.8862, 3: 0.5908}
K2 = {2: 0.7071, 3: 0.5231}
K3 = {2: 0.7071, 3: 0.5231, 4: 0.4467, 5: 0.4030, 6: 0.3742, 7: 0.3534, 8: 0.3375, 9: 0.3249}
K3[10] = 0.3146


@dataclass(frozen=True)
class Gauge:
    """Standard deviations, in the unit of the readings: ``repeatability`` of the meter,
    ``reproducibility`` between people, both together, ``places`` between the places measured,
    ``total``; ``percent`` both of total; ``classes`` one can tell apart, rounded down."""

    repeatability: float
    reproducibility: float
    both: float
    places: float
    total: float
    percent: float
    classes: int


def average_and_range(readings: object) -> Gauge:
    """Repeatability and reproducibility by average and range.

    Parameters
    ----------
    readings : (people, places, trials); 2 or 3 people, 2 to 10 places, 2 or 3 trials

    >>> r = np.array([[[20, 20.5], [25, 25]], [[20.5, 20.5], [25.5, 25]]])
    >>> average_and_range(r).classes
    18
    """
    r = np.asarray(readings, float)
    if r.ndim != 3 or r.shape[0] not in K2 or r.shape[1] not in K3 or r.shape[2] not in K1:
        raise InputFault(
            "readings", r.shape, say("Give 2 or 3 people, 2 to 10 places and 2 or 3 trials each.")
        )
    people, places, trials = r.shape
    mean_range = float(np.ptp(r, axis=2).mean())
    between = float(np.ptp(r.mean(axis=(1, 2))))
    spread = float(np.ptp(r.mean(axis=(0, 2))))
    return from_ranges(mean_range, between, spread, people, places, trials)


def from_ranges(
    mean_range: float, between: float, spread: float, people: int, places: int, trials: int
) -> Gauge:
    """The same from mean range, range of the people's means and range of the places' means."""
    ev = mean_range * K1[trials]
    av = float(np.sqrt(max((between * K2[people]) ** 2 - ev**2 / (places * trials), 0)))
    both = float(np.hypot(ev, av))
    part = spread * K3[places]
    total = float(np.hypot(both, part))
    classes = max(1, int(1.41 * part / both)) if both else 99
    return Gauge(ev, av, both, part, total, 100 * both / total if total else 0.0, classes)
