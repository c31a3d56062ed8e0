"""The screen room's sums of one frame and mesh, to be printed beside its stretch sheet.

The phone works the same sums out for any figures (sums/ there); this is what paper holds of them.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from frames.mechanics.bolts import bolt_force_n
from frames.mechanics.cloth import (
    ink_volume_cm3_m2,
    open_area_pct,
    opening_um,
    stiffness_range,
    thread_stress_mpa,
)
from frames.mechanics.frame_side import ALUMINIUM_MPA
from frames.mechanics.off_contact import Gap
from frames.mechanics.register_budget import by_tension
from frames.mechanics.which_target import (
    THREAD_STRESS_MPA,
    Ceiling,
    by_threads,
    which_target,
    widest_mm,
)
from frames.wording import mark, say, written

Body = Mapping[str, Any]
BOW_MM = 1.0
GAPS_MM = (1.5, 3.0, 4.5, 6.0)
IMAGE = 0.7  # of the inside length
MAKERS = mark("The mesh maker's and frame maker's figures go first.")


@dataclass(frozen=True)
class Sum:
    """``name``, ``value`` with its unit, the ``formula`` it comes by, its ``limits``."""

    name: str
    value: str
    formula: str
    limits: str


@dataclass(frozen=True)
class OverGap:
    """At an off-contact of ``gap_mm``: how much longer the image prints, mm, and how much tighter
    the mesh is under the squeegee in the middle, N/cm, at least and at most."""

    gap_mm: float
    growth_mm: float
    low_n_per_cm: float
    high_n_per_cm: float


def sums(frame: Body, mesh: Body, target: float) -> list[Sum]:
    """What follows for this frame from a mesh at a target, N/cm."""
    own = [_target(mesh), _stress(mesh, target), *_weave(mesh)]
    return [*own, *_loads(frame, target), _bound(frame, mesh)]


def _target(mesh: Body) -> Sum:
    """The card outranks the formula; what threads were seen to bear stands beside it."""
    threads = by_threads(mesh["count_per_cm"], mesh["thread_um"])
    high = min(mesh["cap_n_per_cm"], mesh["tension_max_n_per_cm"] or mesh["cap_n_per_cm"])
    low = mesh["tension_min_n_per_cm"] or min(mesh["target_n_per_cm"], high)
    found = which_target(low, [Ceiling(mark("mesh card"), high)])
    return Sum(
        say("Which target"),
        found.message,
        say(
            "mesh card; its threads bear {0} MPa at {1} N/cm",
            round(THREAD_STRESS_MPA),
            written(threads.n_per_cm, ".1f"),
        ),
        say("Bow and bolts of the frame may allow less: see the phone's sum. {0}", say(MAKERS)),
    )


def _stress(mesh: Body, target: float) -> Sum:
    stress = thread_stress_mpa(target, mesh["count_per_cm"], mesh["thread_um"])
    return Sum(
        say("Stress in a thread"),
        f"{stress:.0f} MPa",
        say("tension / (threads × thread area)"),
        say("Polyester in daily use was seen to last at 125 to 200 MPa; not for steel."),
    )


def _loads(frame: Body, target: float) -> list[Sum]:
    sides = [frame["inside_a_mm"], frame["inside_b_mm"]]
    longest = max(sides)
    inertia = 5 * (target / 10) * longest**4 / 384 / ALUMINIUM_MPA / BOW_MM
    loads = say("{0} N on A and C, {1} N on B and D", *(round(target * mm / 10) for mm in sides))
    bolt = bolt_force_n(target, _widest(frame))
    return [
        Sum(
            say("Load of the mesh"),
            loads,
            say("tension × inside length"),
            say("At rest; more under the squeegee."),
        ),
        Sum(
            say("Side that bows 1 mm"),
            say("I = {0} cm⁴", written(inertia / 1e4, ".1f")),
            "5 w L⁴ / 384 E · 1 mm",
            say("Aluminium, corners that give; a smaller I bows more. Standard beam formula."),
        ),
        Sum(
            say("Most loaded bolt"),
            f"{bolt:.0f} N",
            say("tension × half-way to its neighbours"),
            say("Count turns: friction hides this, torque is no gauge."),
        ),
    ]


def _widest(frame: Body) -> float:
    """Over all sides, mm."""
    lengths = {side: frame[f"inside_{'a' if side in 'AC' else 'b'}_mm"] for side in frame["bolts"]}
    return max(widest_mm(places, lengths[side]) for side, places in frame["bolts"].items())


def _weave(mesh: Body) -> list[Sum]:
    opening = opening_um(mesh["count_per_cm"], mesh["thread_um"], "cm")
    if opening <= 0:
        return []
    area = open_area_pct(opening, mesh["thread_um"])
    limits = say("Theoretical, at rest. Figures on the mesh card go first.")
    found = [
        Sum(
            say("Opening, open area"),
            f"{opening:.0f} µm, {area:.0f} %",
            say("10 000 / threads per cm − thread; (opening / pitch)²"),
            limits,
        )
    ]
    thickness = mesh["card"].get("thickness_um")
    if thickness:
        ink = ink_volume_cm3_m2(thickness["value"], area)
        found.append(
            Sum(say("Ink volume"), f"{ink:.0f} cm³/m²", say("thickness × open area"), limits)
        )
    return found


def _bound(frame: Body, mesh: Body) -> Sum:
    stiff = stiffness_range(mesh["material"], mesh["count_per_cm"], mesh["thread_um"])
    image = IMAGE * max(frame["inside_a_mm"], frame["inside_b_mm"])
    least, most = (by_tension(1.0, ea, image) for ea in (stiff.high_n_per_cm, stiff.low_n_per_cm))
    return Sum(
        say("1 N/cm by the bolts moves"),
        say("{0} to {1} mm", written(least, ".2f"), written(most, ".2f")),
        say("change / stiffness × image of {0} mm", round(image)),
        say("A bound, for bars that moved; creep hardly moves the image."),
    )


def over_gaps(frame: Body, mesh: Body) -> list[OverGap]:
    """Off-contact along the longer inside length, image in its middle."""
    span = max(frame["inside_a_mm"], frame["inside_b_mm"])
    ends = span * (1 - IMAGE) / 2, span * (1 + IMAGE) / 2
    stiff = stiffness_range(mesh["material"], mesh["count_per_cm"], mesh["thread_um"])
    found = []
    for height in GAPS_MM:
        gap = Gap(span, height)
        strain = gap.extra_strain(span / 2)
        tighter = strain * stiff.low_n_per_cm, strain * stiff.high_n_per_cm
        found.append(OverGap(height, gap.growth_mm(*ends), *tighter))
    return found
