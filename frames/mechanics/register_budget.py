"""What can move a colour against another in one set, term by term, and what the film can make good.

Bounds, not forecasts: each term is what the print would be off by if that cause acted alone over
the whole image.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from frames.wording import mark, say, written

from .faults import InputFault, number
from .frame_side import GROWTH_PER_K
from .off_contact import Gap


@dataclass(frozen=True)
class Term:
    """One cause: its name, and by how much it can stretch the image, mm (negative: shrink it)."""

    name: str
    mm: float


@dataclass(frozen=True)
class Budget:
    """All terms of a set, largest first.

    ``sum_mm`` is all of them added as if they fell together, ``likely_mm`` the root of the sum of
    their squares, as if each came by itself; ``within`` compares the likely one with the tolerance.
    """

    terms: tuple[Term, ...]
    sum_mm: float
    likely_mm: float
    within: bool
    message: str

    @property
    def largest(self) -> Term:
        """The term to mend first."""
        return self.terms[0]


def by_tension(change_n_per_cm: float, stiffness_n_per_cm: float, image_mm: float) -> float:
    """Image change if that change of tension came from bars that moved, mm: dT / EA x image.

    Tension that creeps away at bars that stay moves the image hardly at all.

    >>> by_tension(1, 1000, 500)
    0.5
    """
    number("stiffness_n_per_cm", stiffness_n_per_cm, 20, 1e5, "Enter the mesh stiffness in N/cm")
    return change_n_per_cm / stiffness_n_per_cm * image_mm


def by_gap(span_mm: float, image_mm: float, first_mm: float, other_mm: float) -> float:
    """Difference in print growth of two screens whose gaps differ, image in the middle, mm.

    >>> round(by_gap(1000, 800, 3, 2), 3)
    -0.044
    """
    if image_mm >= span_mm:
        raise InputFault("image_mm", image_mm, say("Enter an image shorter than the free mesh."))
    ends = (span_mm - image_mm) / 2, (span_mm + image_mm) / 2
    return Gap(span_mm, other_mm).growth_mm(*ends) - Gap(span_mm, first_mm).growth_mm(*ends)


def by_moisture(percent: float, image_mm: float) -> float:
    """Growth of the sheet by ``percent`` (along or across its grain) over the image, mm.

    >>> by_moisture(0.2, 500)
    1.0
    """
    number("percent", percent, -5, 5, "Enter the sheet's growth in percent")
    return percent / 100 * image_mm


def by_warmth(warmer_k: float, image_mm: float, frame: str, sheet_per_k: float) -> float:
    """Growth of the sheet beyond that of the frame that warms with it, mm.

    >>> round(by_warmth(10, 500, "aluminium", 0.0), 3)
    -0.12
    """
    if frame not in GROWTH_PER_K:
        raise InputFault("frame", frame, say("Choose one of {0}.", ", ".join(GROWTH_PER_K)))
    number("sheet_per_k", sheet_per_k, -1e-4, 5e-4, "Enter the sheet's growth per kelvin")
    return (sheet_per_k - GROWTH_PER_K[frame]) * warmer_k * image_mm


def budget(terms: Sequence[Term], tolerance_mm: float) -> Budget:
    """Terms set against the tolerance, the largest named.

    >>> budget([Term("gap", -0.04), Term("moisture", 0.3)], 0.1).message
    'Likely 0.30 mm of 0.10 mm: moisture first.'
    """
    if not terms:
        raise InputFault("terms", "none", say("Enter at least one cause."))
    number("tolerance_mm", tolerance_mm, 0.01, 20, "Enter the register tolerance in mm")
    ranked = tuple(sorted(terms, key=lambda term: -abs(term.mm)))
    likely = math.hypot(*(term.mm for term in ranked))
    within = likely <= tolerance_mm
    text = mark("Likely {0} mm of {1} mm: {2} first.")
    if within:
        text = mark("Likely {0} mm of {1} mm: within it.")
    figures = written(likely, ".2f"), written(tolerance_mm, ".2f")
    message = say(text, *figures, say(ranked[0].name))
    return Budget(ranked, sum(abs(t.mm) for t in ranked), likely, within, message)


def film_scale(growth_mm: float, image_mm: float) -> float:
    """Factor by which to scale a film so that a print which grows comes out true: 1 / (1 + g/L).

    >>> round(film_scale(0.5, 500), 6)
    0.999001
    """
    number("image_mm", image_mm, 1, 6000, "Enter the image length in mm")
    number("growth_mm", growth_mm, -0.05 * image_mm, 0.05 * image_mm, "Enter the growth in mm")
    return 1 / (1 + growth_mm / image_mm)
