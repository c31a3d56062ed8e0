"""The mesh: how much tension a strain costs, as a stated range until the log has taught better."""

from __future__ import annotations

import math
from dataclasses import dataclass

from frames.wording import mark, say, written

from .faults import InputFault, number, one_of

# Young's modulus of the thread, GPa, low and high (from memory); drawn polyester varies much
MODULUS_GPA = {"polyester": (5.6, 12.0), "stainless": (185.0, 200.0), "other": (3.0, 12.0)}
# what the crimp of the weave leaves of a straight thread's stiffness (from memory, an order only)
CRIMP = {"polyester": (0.6, 1.0), "stainless": (0.6, 1.0), "other": (0.5, 1.0)}


@dataclass(frozen=True)
class StiffnessRange:
    """Stiffness of a mesh per width, N/cm per unit strain: a range, and a middle to start from."""

    low_n_per_cm: float
    middle_n_per_cm: float
    high_n_per_cm: float

    @property
    def relative_sd(self) -> float:
        """Standard deviation as a fraction of the middle, reading the range as two sd each way."""
        return (self.high_n_per_cm - self.low_n_per_cm) / 4 / self.middle_n_per_cm


def straight_stiffness(count_per_cm: float, thread_um: float, modulus_gpa: float) -> float:
    """Stiffness of straight threads, N/cm: n pi d^2/4 E. An upper bound: crimp lowers it.

    >>> round(straight_stiffness(120, 34, 10))
    1090
    """
    area_cm2 = math.pi / 4 * (thread_um * 1e-4) ** 2
    return count_per_cm * area_cm2 * modulus_gpa * 1e5


def stiffness_range(material: str, count_per_cm: float, thread_um: float) -> StiffnessRange:
    """Stated range of a mesh's stiffness from thread area, fibre modulus and crimp; never a truth.

    Parameters
    ----------
    material : ``"polyester"``, ``"stainless"`` or ``"other"``
    count_per_cm : threads per cm
    thread_um : thread diameter, micrometre

    >>> r = stiffness_range("polyester", 120, 34)
    >>> round(r.low_n_per_cm), round(r.middle_n_per_cm), round(r.high_n_per_cm)
    (366, 837, 1307)
    """
    one_of("material", material, MODULUS_GPA, "Choose the material")
    number("count_per_cm", count_per_cm, 4, 260, "Enter threads per cm")
    number("thread_um", thread_um, 10, 600, "Enter the thread diameter in micrometres")
    (e_low, e_high), (k_low, k_high) = MODULUS_GPA[material], CRIMP[material]
    low = k_low * straight_stiffness(count_per_cm, thread_um, e_low)
    high = k_high * straight_stiffness(count_per_cm, thread_um, e_high)
    return StiffnessRange(low, (low + high) / 2, high)


def thread_stress_mpa(tension_n_per_cm: float, count_per_cm: float, thread_um: float) -> float:
    """Stress in a thread under a tension, MPa: T / (n pi d^2/4).

    >>> round(thread_stress_mpa(35, 43, 80), 1)
    161.9
    """
    area_cm2 = math.pi / 4 * (thread_um * 1e-4) ** 2
    return tension_n_per_cm / (count_per_cm * area_cm2) / 100


def opening_um(count: float, thread_um: float, per: str = "inch") -> float:
    """Nominal opening w = pitch - d, micrometre; ``per`` says whether count is per inch or per cm.

    The two labels of one cloth are not exact conversions: use the one its card was computed from.

    >>> round(opening_um(225, 40))
    73
    """
    one_of("per", per, ("inch", "cm"), "Count per")
    pitch = (25400 if per == "inch" else 10000) / number("count", count, 4, 700, "Enter the count")
    if thread_um >= pitch:
        raise InputFault(
            "thread_um",
            thread_um,
            say("Threads this thick touch: below {0}.", written(pitch, ".0f")),
        )
    return pitch - thread_um


def open_area_pct(opening: float, thread_um: float) -> float:
    """Open area, percent: 100 (w / (w + d))^2.

    >>> round(open_area_pct(73, 40))
    42
    """
    return 100 * (opening / (opening + thread_um)) ** 2


def ink_volume_cm3_m2(thickness_um: float, open_pct: float) -> float:
    """Theoretical ink volume, cm3/m2: fabric thickness x open area.

    >>> round(ink_volume_cm3_m2(59, 42))
    25
    """
    return thickness_um * open_pct / 100


@dataclass(frozen=True)
class Mesh:
    """Stiffness of a mesh on the frame, per width.

    Parameters
    ----------
    ex_n_per_cm, ey_n_per_cm : axial stiffness along x and y, N/cm per unit strain
    coupling : how much of a strain across shows along, 0 to 0.5; small for open woven mesh
    shear_n_per_cm : shear stiffness G, N/cm; woven mesh carries very little
    relative_sd : how far the two stiffnesses may be off, as a fraction

    >>> Mesh.of("polyester", 120, 34).ex_n_per_cm > 800
    True
    """

    ex_n_per_cm: float
    ey_n_per_cm: float
    coupling: float = 0.05
    shear_n_per_cm: float = 10.0
    relative_sd: float = 0.25

    def __post_init__(self) -> None:
        what = mark("Enter the mesh stiffness in N/cm per unit strain")
        number("ex_n_per_cm", self.ex_n_per_cm, 20, 1e5, what)
        number("ey_n_per_cm", self.ey_n_per_cm, 20, 1e5, what)
        number("coupling", self.coupling, 0, 0.5, "Enter the coupling")
        number("shear_n_per_cm", self.shear_n_per_cm, 0, 1e5, "Enter the shear stiffness in N/cm")
        number("relative_sd", self.relative_sd, 0.01, 1, "Enter the uncertainty as a fraction")

    @classmethod
    def of(cls, material: str, count_per_cm: float, thread_um: float) -> Mesh:
        """A mesh with the middle of its `stiffness_range`, and that range as its uncertainty."""
        r = stiffness_range(material, count_per_cm, thread_um)
        return cls(r.middle_n_per_cm, r.middle_n_per_cm, relative_sd=r.relative_sd)

    @property
    def stiffness(self) -> tuple[tuple[float, float], tuple[float, float]]:
        """The 2 x 2 matrix from strains (x, y) to tensions (x, y), N/cm.

        Plane stress, orthotropic, symmetric: off-diagonal = coupling x sqrt(Ex Ey), all divided by
        1 - coupling^2.
        """
        k = 1 - self.coupling**2
        cross = self.coupling * math.sqrt(self.ex_n_per_cm * self.ey_n_per_cm) / k
        return ((self.ex_n_per_cm / k, cross), (cross, self.ey_n_per_cm / k))
