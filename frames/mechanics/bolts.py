"""A bolt of the frame: how far one turn moves the bar, and the smallest turn asked for."""

from __future__ import annotations

import math
from dataclasses import dataclass

from frames.wording import say

from .faults import InputFault, number

PER_TURN = 48  # sixths, eighths and sixteenths of a turn are all whole 48ths
STEPS = {"sixth": 8, "eighth": 6, "sixteenth": 3}


@dataclass(frozen=True)
class Bolt:
    """Thread pitch and turning step of a frame's bolts.

    Parameters
    ----------
    pitch_mm : travel of the bar per turn, mm; 5/16-18 has 25.4/18, M8 has 1.25
    step_48ths : 8 (one flat of a hex head), 6 (an eighth) or 3 (a sixteenth)

    >>> round(Bolt(25.4 / 18, 8).step_mm, 4)
    0.2352
    """

    pitch_mm: float = 25.4 / 18
    step_48ths: int = 8

    def __post_init__(self) -> None:
        number("pitch_mm", self.pitch_mm, 0.2, 5.0, "Enter the travel of one turn in mm")
        if self.step_48ths not in STEPS.values():
            raise InputFault(
                "step_48ths",
                self.step_48ths,
                say("Choose 8 (sixth of a turn), 6 (eighth) or 3 (sixteenth)."),
            )

    @property
    def step_turns(self) -> float:
        """Smallest turn, in turns."""
        return self.step_48ths / PER_TURN

    @property
    def step_mm(self) -> float:
        """Bar travel of the smallest turn, mm."""
        return self.step_turns * self.pitch_mm


def bolt_force_n(tension_n_per_cm: float, spacing_mm: float) -> float:
    """Force in an inner bolt under even tension, N: tension x spacing.

    >>> bolt_force_n(25, 100)
    250.0
    """
    number("tension_n_per_cm", tension_n_per_cm, 0, 150, "Enter the tension in N/cm")
    number("spacing_mm", spacing_mm, 1, 6000, "Enter the width that a bolt carries in mm")
    return tension_n_per_cm * spacing_mm / 10


def tightening_torque_nm(force_n: float, diameter_mm: float, k: float = 0.2) -> float:
    """Torque K F d that goes with a bolt force, N m; friction scatters it, so count turns instead.

    Parameters
    ----------
    force_n : force in the bolt, N
    diameter_mm : nominal thread diameter, mm
    k : friction factor, 0.1 (well lubricated) to 0.3 (dry)

    >>> round(tightening_torque_nm(250, 7.9375), 3)
    0.397
    """
    number("k", k, 0.05, 0.5, "Enter the friction factor")
    return k * force_n * diameter_mm / 1000


def stress_area_mm2(diameter_mm: float, pitch_mm: float, inch: bool = False) -> float:
    """Tensile stress area, mm2: pi/4 (d - c p)^2 with c = 0.9382 (metric) or 0.9743 (inch thread).

    >>> round(stress_area_mm2(8, 1.25), 1)
    36.6
    """
    return math.pi / 4 * (diameter_mm - (0.9743 if inch else 0.9382) * pitch_mm) ** 2
