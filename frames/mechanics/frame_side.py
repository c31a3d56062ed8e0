"""The frame's own side under the mesh's load: section, bow, stress, growth with heat, pre-bow."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from frames.wording import say

from .faults import InputFault, number

ALUMINIUM_MPA = 69000.0  # 6061 and 6063 (from memory)
GROWTH_PER_K = {"aluminium": 24e-6, "steel": 12e-6}


@dataclass(frozen=True)
class Plate:
    """A rectangle of a section: ``across_mm`` in the plane of the screen, ``upright_mm`` normal to
    it, ``from_mm`` its near face, in the plane of the screen, from the back of the web."""

    across_mm: float
    upright_mm: float
    from_mm: float = 0.0

    def __post_init__(self) -> None:
        number("across_mm", self.across_mm, 0.2, 500, "Enter the plate's size in the screen plane")
        number("upright_mm", self.upright_mm, 0.2, 500, "Enter the plate's upright size")


@dataclass(frozen=True)
class Section:
    """``area_mm2``; ``centroid_mm`` from the back of the web; ``inertia_mm4`` against bowing in the
    plane of the screen; ``reach_mm`` from the centroid to the farthest fibre."""

    area_mm2: float
    centroid_mm: float
    inertia_mm4: float
    reach_mm: float


def section(plates: Sequence[Plate]) -> Section:
    """Section of any profile made of plates, by the parallel-axis theorem.

    >>> round(section([Plate(40, 40)]).inertia_mm4)
    213333
    """
    if not plates:
        raise InputFault("plates", "none", say("Enter at least one plate."))
    areas = [p.across_mm * p.upright_mm for p in plates]
    middles = [p.from_mm + p.across_mm / 2 for p in plates]
    area = sum(areas)
    centre = sum(a * m for a, m in zip(areas, middles, strict=True)) / area
    inertia = sum(
        p.upright_mm * p.across_mm**3 / 12 + a * (m - centre) ** 2
        for p, a, m in zip(plates, areas, middles, strict=True)
    )
    ends = [e for p in plates for e in (p.from_mm, p.from_mm + p.across_mm)]
    return Section(area, centre, inertia, max(abs(e - centre) for e in ends))


def plain_u(flange_mm: float, web_mm: float, wall_mm: float) -> list[Plate]:
    """Plates of a plain U: web upright, two flanges lying in the plane of the screen.

    >>> round(section(plain_u(50, 40, 5)).inertia_mm4, 1)
    162892.6
    """
    inner = flange_mm - wall_mm
    return [Plate(wall_mm, web_mm), *[Plate(inner, wall_mm, wall_mm)] * 2]


def ribbed_u(
    flange_mm: float, web_mm: float, wall_mm: float, ribs: int, rib_mm: float
) -> list[Plate]:
    """A plain U with ribs of the wall's thickness standing ``rib_mm`` out of the web's back."""
    number("ribs", ribs, 0, 12, "Enter how many ribs the web has")
    return [*plain_u(flange_mm, web_mm, wall_mm), *[Plate(rib_mm, wall_mm, -rib_mm)] * int(ribs)]


def boxed_u(
    flange_mm: float, web_mm: float, wall_mm: float, box_mm: float, over_mm: float
) -> list[Plate]:
    """A plain U closed by a box above it: ``box_mm`` deep in the screen plane, ``over_mm`` high.

    >>> round(section(boxed_u(50, 40, 5, 50, 20)).inertia_mm4) > 162893
    True
    """
    sides = over_mm - wall_mm
    box = [Plate(wall_mm, sides), Plate(wall_mm, sides, box_mm - wall_mm), Plate(box_mm, wall_mm)]
    return [*plain_u(flange_mm, web_mm, wall_mm), *box]


@dataclass(frozen=True)
class SideLoad:
    """``load_n`` on the side; bow at its middle, mm, with built-in and with pinned corners (real
    ones lie between); ``stress_mpa`` with pinned corners; ``within`` the bow allowed."""

    load_n: float
    bow_built_in_mm: float
    bow_pinned_mm: float
    stress_mpa: float
    within: bool


def side_load(
    made: Section,
    length_mm: float,
    tension_n_per_cm: float,
    most_bow_mm: float,
    modulus_mpa: float = ALUMINIUM_MPA,
) -> SideLoad:
    """A side as a beam under even load: w L^4/384 EI built in, 5 w L^4/384 EI pinned; M = w L^2/8.

    Parameters
    ----------
    made : section of the side
    length_mm : inside length, mm
    tension_n_per_cm : mesh tension, N/cm
    most_bow_mm : the shop's limit, mm

    >>> side_load(Section(375, 20, 88281.25, 20), 1000, 25, 2).bow_pinned_mm.__round__(2)
    5.34
    """
    number("length_mm", length_mm, 100, 6000, "Enter the side's length in mm")
    number("tension_n_per_cm", tension_n_per_cm, 0, 150, "Enter the tension in N/cm")
    w = tension_n_per_cm / 10
    built_in = w * length_mm**4 / 384 / modulus_mpa / made.inertia_mm4
    stress = w * length_mm**2 / 8 * made.reach_mm / made.inertia_mm4
    return SideLoad(w * length_mm, built_in, 5 * built_in, stress, 5 * built_in <= most_bow_mm)


def growth_mm(length_mm: float, warmer_k: float, metal: str = "aluminium") -> float:
    """Growth of a side that warms, mm.

    >>> round(growth_mm(1000, 20), 2)
    0.48
    """
    if metal not in GROWTH_PER_K:
        raise InputFault("metal", metal, say("Choose one of {0}.", ", ".join(GROWTH_PER_K)))
    return GROWTH_PER_K[metal] * length_mm * warmer_k


def pre_bow_turns(
    places_mm: Sequence[float], length_mm: float, bow_mm: float, pitch_mm: float
) -> list[float]:
    """Turns of each bolt before the mesh goes in: a parabola, the ends further out.

    Bolts only pull, so the bar takes this shape when the mesh loads it. Draw at x is
    bow (2x/L - 1)^2; turns are draw / pitch. Common practice asks for a bow of 6 to 10 mm.

    >>> pre_bow_turns([0, 500, 1000], 1000, 8.0, 1.25)
    [6.4, 0.0, 6.4]
    """
    number("bow_mm", bow_mm, 0, 30, "Enter how far the bar's ends stand further out, in mm")
    number("pitch_mm", pitch_mm, 0.2, 5, "Enter the travel of one turn in mm")
    return [bow_mm * (2 * x / length_mm - 1) ** 2 / pitch_mm for x in places_mm]


def piece_mm(inside_mm: float, outward_mm: float, lock_mm: float, overhang_mm: float) -> float:
    """Length of mesh to tear off in one direction, mm.

    Parameters
    ----------
    inside_mm : inside of the frame; outward_mm : from there to the outside of the bar
    lock_mm : mesh that goes down into one lock; overhang_mm : what hangs over beyond the bar

    >>> piece_mm(1000, 40, 20, 30)
    1180
    """
    number("overhang_mm", overhang_mm, 0, 200, "Enter the overhang beyond the bar in mm")
    return inside_mm + 2 * (outward_mm + lock_mm + overhang_mm)
