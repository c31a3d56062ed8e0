"""The gap under the screen: where a point of the stencil prints, and what the squeegee adds.

Exact geometry of a mesh pushed down to the sheet along one line, without friction, its strain even
along the span. The growth of the print goes with the square of the gap, so a changed gap can look
like a mesh that has moved.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from frames.wording import say

from .faults import InputFault, number

NEAREST = 1e-9  # of the span: how closely `printed_at_mm` is solved


@dataclass(frozen=True)
class Gap:
    """Off-contact of a screen along the stroke, or across it.

    Parameters
    ----------
    span_mm : free mesh between the two bars, mm
    gap_mm : height of the mesh over the sheet, mm

    >>> round(Gap(1000, 3).growth_mm(100, 900), 3)
    0.08
    """

    span_mm: float
    gap_mm: float

    def __post_init__(self) -> None:
        number("span_mm", self.span_mm, 50, 6000, "Enter the free mesh between the bars in mm")
        number("gap_mm", self.gap_mm, 0, 50, "Enter the gap between mesh and sheet in mm")

    def _arms(self, at_mm: float) -> tuple[float, float]:
        x = number("at_mm", at_mm, 0, self.span_mm, "Enter where the squeegee stands, in mm")
        return math.hypot(x, self.gap_mm), math.hypot(self.span_mm - x, self.gap_mm)

    def extra_strain(self, at_mm: float) -> float:
        """Strain that the squeegee adds while it stands at ``at_mm``: (l1 + l2) / L - 1.

        >>> round(Gap(1000, 3).extra_strain(500) * 1e6, 1)
        18.0
        """
        return sum(self._arms(at_mm)) / self.span_mm - 1

    def tension_rise(self, at_mm: float, stiffness_n_per_cm: float) -> float:
        """Tension added under the squeegee, N/cm: stiffness x extra strain."""
        return stiffness_n_per_cm * self.extra_strain(at_mm)

    def downforce(self, at_mm: float, tension_n_per_cm: float) -> float:
        """Force that only pushes the mesh down, N per cm of squeegee: T (sin a + sin b).

        >>> round(Gap(1000, 3).downforce(500, 25), 2)
        0.3
        """
        return tension_n_per_cm * sum(self.gap_mm / max(arm, 1e-12) for arm in self._arms(at_mm))

    def stencil_at_mm(self, printed_mm: float) -> float:
        """The place of the mesh at rest that prints at ``printed_mm``: s = L l1 / (l1 + l2)."""
        near, far = self._arms(printed_mm)
        return self.span_mm * near / (near + far)

    def shift_mm(self, printed_mm: float) -> float:
        """How far a point prints from its place at rest, mm; away from the middle of the span.

        >>> round(Gap(600, 3).shift_mm(60), 3)
        -0.067
        """
        return printed_mm - self.stencil_at_mm(printed_mm)

    def growth_mm(self, first_mm: float, last_mm: float) -> float:
        """Printed length minus stencil length between two printed places, mm."""
        return self.shift_mm(last_mm) - self.shift_mm(first_mm)

    def printed_at_mm(self, stencil_mm: float) -> float:
        """Where a point of the stencil prints, mm: `stencil_at_mm` turned round, by halving.

        Right beside a bar a point can never reach the sheet; it is told as an `InputFault`.

        >>> gap = Gap(1000, 6)
        >>> round(gap.stencil_at_mm(gap.printed_at_mm(200)), 6)
        200.0
        """
        low, high = 0.0, self.span_mm
        if not self.stencil_at_mm(low) <= stencil_mm <= self.stencil_at_mm(high):
            raise InputFault(
                "stencil_mm", stencil_mm, say("Enter a place of the stencil further from the bars.")
            )
        while high - low > NEAREST * self.span_mm:
            middle = (low + high) / 2
            below = self.stencil_at_mm(middle) < stencil_mm
            low, high = (middle, high) if below else (low, middle)
        return (low + high) / 2
