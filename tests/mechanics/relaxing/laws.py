"""Laws of stress relaxation and of wear, as factors of the tension right after the last turn.

Stretched exponential, power law and two slopes in log time are usual forms; the break at 100 s is
read in http://fibtex.lodz.pl/article1370.html. Strokes wear a mesh faster at low tension:
http://www.geocities.ws/screensunlimited03/meshtension.html (16 -> 12 and 14 -> 8 in 500
impressions). Parameters are spread widely around a loss of 10 to 15 % in a night.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

Loss = Callable[[np.ndarray], np.ndarray]


def stretched(end: float, tau_h: float, beta: float) -> Loss:
    """Share lost at t hours: ends at a plateau."""
    return lambda t: end * (1 - np.exp(-((np.asarray(t, float) / tau_h) ** beta)))


def power(n: float) -> Loss:
    """Share lost at t hours: (1 + t / 1 s)^-n is left."""
    return lambda t: 1 - (1 + 3600 * np.asarray(t, float)) ** -n


def broken(first: float, then: float, break_s: float) -> Loss:
    """Share lost at t hours: two straight lines in log time, shares per decade."""

    def lost(t: np.ndarray) -> np.ndarray:
        decades = np.log10(1 + 3600 * np.asarray(t, float))
        early = np.minimum(decades, np.log10(1 + break_s))
        return first * early + then * (decades - early)

    return lost


def stretched_exponential(r: np.random.Generator) -> Loss:
    """Any of them, see `stretched`."""
    return stretched(r.uniform(0.10, 0.22), 10 ** r.uniform(0.3, 1.8), r.uniform(0.25, 0.5))


def power_law(r: np.random.Generator) -> Loss:
    """Any of them, see `power`."""
    return power(r.uniform(0.008, 0.017))


def two_slopes(r: np.random.Generator) -> Loss:
    """Any of them, see `broken`; the break comes after 100 s or later."""
    return broken(r.uniform(0.015, 0.03), r.uniform(0.010, 0.030), 10 ** r.uniform(2, 5))


LAWS: dict[str, Callable[[np.random.Generator], Loss]] = {
    "stretched exponential": stretched_exponential,
    "power law": power_law,
    "two slopes": two_slopes,
}


@dataclass(frozen=True)
class Wear:
    """Strokes: N/cm per thousand impressions at the target, faster the lower the tension."""

    per_thousand: float
    power: float

    def after(self, tension: float, target: float, count: int) -> float:
        """Tension after that many more impressions: dT/dn = -k (target / T)^p, integrated."""
        q = self.power + 1
        left = tension**q - q * self.per_thousand * target**self.power * count / 1000
        return max(left, 0.0) ** (1 / q)


def wear(r: np.random.Generator) -> Wear:
    return Wear(r.uniform(0.05, 0.35), r.uniform(1.0, 3.5))
