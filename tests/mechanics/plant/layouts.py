"""Five frames from 40 × 50 to 150 × 200 cm with 4 to 16 bolts a side."""

from collections.abc import Mapping
from dataclasses import dataclass

PITCH_5_16_18_MM = 25.4 / 18


@dataclass(frozen=True)
class Layout:
    """A frame: inside lengths (mm), bolt places (mm from the first corner of their side)."""

    name: str
    inside_a_mm: float
    inside_b_mm: float
    bolts: Mapping[str, tuple[float, ...]]
    pitch_mm: float
    profile: str

    @property
    def names(self) -> list[str]:
        """All bolts in wrench order: A1, A2, … D1, …"""
        return [f"{side}{i + 1}" for side in "ABCD" for i in range(len(self.bolts[side]))]

    def side_length(self, side: str) -> float:
        return self.inside_a_mm if side in "AC" else self.inside_b_mm

    def place(self, bolt: str) -> tuple[float, float]:
        """Frame coordinates (x, y) in mm of a bolt, on the inside edge."""
        a, b = self.inside_a_mm, self.inside_b_mm
        at = self.bolts[bolt[0]][int(bolt[1:]) - 1]
        return {"A": (at, 0.0), "B": (a, at), "C": (a - at, b), "D": (0.0, b - at)}[bolt[0]]


def even(length: float, count: int, first: float) -> tuple[float, ...]:
    step = (length - 2 * first) / (count - 1)
    return tuple(round(first + i * step, 3) for i in range(count))


def frame(
    name: str, a: float, b: float, on_a: int, on_b: int, first: float, profile: str
) -> Layout:
    sides = {"A": even(a, on_a, first), "B": even(b, on_b, first)}
    sides |= {"C": sides["A"], "D": sides["B"]}
    return Layout(name, a, b, sides, PITCH_5_16_18_MM, profile)


LAYOUTS = (
    frame("40x50", 400.0, 500.0, 4, 5, 60.0, "plain_u"),
    frame("60x80", 600.0, 800.0, 5, 6, 70.0, "plain_u"),
    frame("80x100", 800.0, 1000.0, 6, 8, 70.0, "ribbed_u"),
    frame("100x140", 1000.0, 1400.0, 9, 12, 75.0, "ribbed_u"),
    frame("150x200", 1500.0, 2000.0, 12, 16, 85.0, "boxed_u"),
)
