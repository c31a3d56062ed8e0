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
# People who read the places differently are told apart from chance at this level.
INTERACTION_LEVEL = 0.05


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
    return _gauge(ev, av, spread * K3[places])


@dataclass(frozen=True)
class Squares:
    """One row of an analysis of variance: sum of squares and degrees of freedom."""

    total: float
    freedom: int

    @property
    def mean(self) -> float:
        return self.total / self.freedom

    def __add__(self, other: Squares) -> Squares:
        return Squares(self.total + other.total, self.freedom + other.freedom)


def by_variance(readings: object) -> Gauge:
    """Repeatability and reproducibility by analysis of variance, crossed, people at random.

    Parameters
    ----------
    readings : (people, places, trials); at least two of each

    >>> r = np.array([[[20, 20.5], [25, 25]], [[20.5, 20.5], [25.5, 25]]])
    >>> round(by_variance(r).both, 2)
    0.26
    """
    r = np.asarray(readings, float)
    if r.ndim != 3 or min(r.shape) < 2:
        raise InputFault(
            "readings", r.shape, say("Give at least two people, two places and two trials each.")
        )
    people, places, trials = r.shape
    person, place, cell = r.mean(axis=(1, 2)), r.mean(axis=(0, 2)), r.mean(axis=2)
    mixed = cell - person[:, None] - place + r.mean()
    return from_variance(
        Squares(people * trials * _square(place - r.mean()), places - 1),
        Squares(places * trials * _square(person - r.mean()), people - 1),
        Squares(trials * _square(mixed), (people - 1) * (places - 1)),
        Squares(_square(r - cell[:, :, None]), people * places * (trials - 1)),
        trials,
    )


def from_variance(
    place: Squares, person: Squares, mixed: Squares, repeat: Squares, trials: int
) -> Gauge:
    """The same from its table. What people and places do together is put to the repeats unless it
    is more than chance; then it counts to the people."""
    from scipy.special import fdtrc

    people, places = person.freedom + 1, place.freedom + 1
    real = repeat.mean > 0 and (
        fdtrc(mixed.freedom, repeat.freedom, mixed.mean / repeat.mean) < INTERACTION_LEVEL
    )
    within = repeat if real else mixed + repeat
    against = mixed.mean if real else within.mean
    together = max(against - within.mean, 0.0) / trials
    hand = max(person.mean - against, 0.0) / (places * trials) + together
    part = float(np.sqrt(max(place.mean - against, 0.0) / (people * trials)))
    return _gauge(float(np.sqrt(within.mean)), float(np.sqrt(hand)), part)


def _square(x: np.ndarray) -> float:
    return float((x**2).sum())


def _gauge(repeatability: float, reproducibility: float, places: float) -> Gauge:
    both = float(np.hypot(repeatability, reproducibility))
    total = float(np.hypot(both, places))
    classes = max(1, int(1.41 * places / both)) if both else 99
    percent = 100 * both / total if total else 0.0
    return Gauge(repeatability, reproducibility, both, places, total, percent, classes)
