"""Mesh sums: what a weave lets through, at rest and stretched. Card values outrank these.

Openings, open area and ink volume at rest stand in `cloth`; wire cloth obeys the same formulas.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from .cloth import open_area_pct
from .faults import number


def count_per_inch(opening_um: float, thread_um: float) -> float:
    """Threads per inch of a cloth known by its opening and thread, both in micrometre.

    >>> round(count_per_inch(75, 50), 1)
    203.2
    """
    number("opening_um", opening_um, 5, 30000, "Enter the opening in micrometres")
    return 25400 / (opening_um + thread_um)


@dataclass(frozen=True)
class Stretched:
    """A mesh under a strain: threads per cm, opening in micrometre, open area in percent."""

    count_per_cm: float
    opening_um: float
    open_area_pct: float


def stretched(count_per_cm: float, opening_um: float, strain: float) -> Stretched:
    """A mesh stretched alike both ways: n / (1 + e) threads, w (1 + e) opening.

    The threads thin a little too, so that the true opening is slightly larger still.

    Parameters
    ----------
    count_per_cm : threads per cm at rest
    opening_um : opening at rest, micrometre
    strain : elongation as a fraction, 0 to 0.2; tension over stiffness if it is not measured

    >>> round(stretched(90, 73, 0.02).count_per_cm, 2)
    88.24
    """
    number("count_per_cm", count_per_cm, 4, 260, "Enter threads per cm")
    number("strain", strain, 0, 0.2, "Enter the elongation as a fraction")
    wider, pitch = opening_um * (1 + strain), 10000 * (1 + strain) / count_per_cm
    return Stretched(count_per_cm / (1 + strain), wider, open_area_pct(wider, pitch - wider))


def wet_film_um(thickness_um: float, open_pct: float, build_up_um: float) -> float:
    """Wet ink film, micrometre: mesh thickness x open area + emulsion build-up.

    >>> round(wet_film_um(59, 42, 5), 1)
    29.8
    """
    number("build_up_um", build_up_um, 0, 500, "Enter the emulsion over the mesh in micrometres")
    return thickness_um * open_pct / 100 + build_up_um


def tension_at_stress(stress_mpa: float, count_per_cm: float, thread_um: float) -> float:
    """Tension at which the threads bear ``stress_mpa``, N/cm: stress x n pi d^2/4.

    >>> round(tension_at_stress(161.9, 43, 80), 1)
    35.0
    """
    number("stress_mpa", stress_mpa, 1, 2000, "Enter the stress in MPa")
    return stress_mpa * count_per_cm * math.pi / 4 * (thread_um * 1e-4) ** 2 * 100
