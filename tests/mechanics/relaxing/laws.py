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


def stretched_exponential(r: np.random.Generator) -> Loss:
    """Share lost at t hours: ends at a plateau."""
    end, tau, beta = r.uniform(0.10, 0.22), 10 ** r.uniform(0.3, 1.8), r.uniform(0.25, 0.5)
    return lambda t: end * (1 - np.exp(-((t / tau) ** beta)))


def power_law(r: np.random.Generator) -> Loss:
    """Share lost at t hours: (1 + t / 1 s)^-n."""
    n = r.uniform(0.008, 0.017)
    return lambda t: 1 - (1 + 3600 * t) ** -n


def two_slopes(r: np.random.Generator) -> Loss:
    """Share lost at t hours: two straight lines in log time, broken at 100 s or later."""
    first, then = r.uniform(0.015, 0.03), r.uniform(0.010, 0.030)
    brk = 10 ** r.uniform(2, 5)

    def lost(t: np.ndarray) -> np.ndarray:
        s = 3600 * np.asarray(t, float)
        return first * np.log10(1 + np.minimum(s, brk)) + then * np.log10(np.maximum(s / brk, 1))

    return lost


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
        """Tension after that many more impressions."""
        for part in np.diff(np.linspace(0, count, max(2, count // 200 + 2))):
            faster = (target / max(tension, 5.0)) ** self.power
            tension -= self.per_thousand * faster * part / 1000
        return max(tension, 3.0)


def wear(r: np.random.Generator) -> Wear:
    return Wear(r.uniform(0.05, 0.35), r.uniform(1.0, 3.5))
