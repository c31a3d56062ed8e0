"""Which tension to aim for: what mesh, threads, frame and bolts allow, and which of them limits."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from frames.wording import mark, say, written

from .faults import InputFault, number
from .frame_side import ALUMINIUM_MPA, Section
from .weave import tension_at_stress

# fallback for a cloth whose card gives no highest tension (derived from published working tensions)
THREAD_STRESS_MPA = 160.0
# share of its proof load that a joint made to be opened again may bear (published rule)
PROOF_SHARE = 0.75


@dataclass(frozen=True)
class Ceiling:
    """One thing that limits the tension: its name, and the highest tension it allows, N/cm."""

    name: str
    n_per_cm: float


@dataclass(frozen=True)
class Range:
    """``low`` to ``high`` N/cm to stretch to; ``limit`` names what sets the high end; ``ceilings``
    are all of them, lowest first; ``possible`` is false where the low end lies above the high."""

    low_n_per_cm: float
    high_n_per_cm: float
    limit: str
    ceilings: tuple[Ceiling, ...]
    possible: bool
    message: str


def by_threads(count_per_cm: float, thread_um: float, stress_mpa: float | None = None) -> Ceiling:
    """What the threads bear; by default at a stress that daily work was seen to last at.

    >>> round(by_threads(90, 48).n_per_cm, 1)
    26.1
    """
    stress = THREAD_STRESS_MPA if stress_mpa is None else stress_mpa
    return Ceiling(mark("thread stress"), tension_at_stress(stress, count_per_cm, thread_um))


def by_bow(
    made: Section, length_mm: float, most_bow_mm: float, modulus_mpa: float = ALUMINIUM_MPA
) -> Ceiling:
    """Tension at which the longest side bows by the shop's limit, corners taken as pinned:
    384 EI bow / 5 L^4.

    >>> round(by_bow(Section(375, 20, 88281.25, 20), 1000, 5.3439).n_per_cm, 2)
    25.0
    """
    number("length_mm", length_mm, 100, 6000, "Enter the side's length in mm")
    number("most_bow_mm", most_bow_mm, 0.05, 50, "Enter the shop's bow limit in mm")
    load = 384 * modulus_mpa * made.inertia_mm4 * most_bow_mm / 5 / length_mm**4
    return Ceiling(mark("bow of the frame"), 10 * load)


def by_bolts(
    places_mm: Sequence[float], length_mm: float, area_mm2: float, proof_mpa: float
) -> Ceiling:
    """Tension at which the most loaded bolt of a side bears three quarters of its proof load.

    Each bolt carries the mesh half-way to its neighbours, the end ones all of it to the corner.

    >>> by_bolts([100, 300, 500], 600, 36.6, 600).name
    'bolts'
    """
    widest = widest_mm(places_mm, length_mm)
    return Ceiling("bolts", 10 * PROOF_SHARE * proof_mpa * area_mm2 / widest)


def widest_mm(places_mm: Sequence[float], length_mm: float) -> float:
    """Mesh that the most loaded bolt of a side carries, see `by_bolts`.

    >>> widest_mm([100, 300, 500], 600)
    200.0
    """
    places = sorted(places_mm)
    if not places:
        raise InputFault("places_mm", "none", say("Enter where the bolts of the side stand."))
    number("places_mm", max(places), 0, length_mm, "Enter bolt places that lie on the side")
    middles = [(a + b) / 2 for a, b in pairwise(places)]
    return max(b - a for a, b in pairwise([0.0, *middles, float(length_mm)]))


def which_target(low_n_per_cm: float, ceilings: Sequence[Ceiling]) -> Range:
    """The range to stretch to, and the ceiling that limits it.

    Parameters
    ----------
    low_n_per_cm : what the work needs at least, e.g. the low end of the mesh card, N/cm
    ceilings : what mesh card, threads, frame and bolts allow

    >>> which_target(18, [Ceiling("mesh card", 25), Ceiling("bow of the frame", 21)]).message
    'Between 18 and 21 N/cm; the bow of the frame limits it.'
    """
    number("low_n_per_cm", low_n_per_cm, 0, 150, "Enter the least tension in N/cm")
    if not ceilings:
        raise InputFault("ceilings", "none", say("Enter at least the mesh card's highest tension."))
    ranked = tuple(sorted(ceilings, key=lambda ceiling: ceiling.n_per_cm))
    high, name = ranked[0].n_per_cm, ranked[0].name
    if high < low_n_per_cm:
        out = mark("{0} N/cm is out of reach: the {1} allows {2} N/cm.")
        said = say(out, written(low_n_per_cm, "g"), say(name), written(high, ".3g"))
        return Range(low_n_per_cm, high, name, ranked, False, said)
    one = mark("Between {0} and {1} N/cm; the {2} limits it.")
    several = mark("Between {0} and {1} N/cm; the {2} limit it.")
    text = several if name == "bolts" else one
    words = say(text, written(low_n_per_cm, "g"), written(high, ".3g"), say(name))
    return Range(low_n_per_cm, high, name, ranked, True, words)
