"""Free screens for a want: a mesh and an inside size, either of them open."""

from dataclasses import dataclass, field
from typing import Self

from frames.models import Colour
from shopfloor.office.readiness import PRINTS
from shopfloor.office.standing import Standing

SAME_MM = 5
COATED = ("holding", "due")  # conditions in which a bare screen is coated: not while it rests
NOT_HERE = ("lost", "repair", "scrapped")


@dataclass(frozen=True)
class Want:
    """What a colour is printed with; None leaves the choice open."""

    mesh: str | None
    a_mm: float | None
    b_mm: float | None

    @classmethod
    def of(cls, colour: Colour) -> Self:
        job = colour.job
        mesh = str(colour.mesh_id) if colour.mesh_id else None
        return cls(mesh, job.inside_a_mm, job.inside_b_mm)

    def fits(self, stand: Standing) -> bool:
        frame, screen = stand.frame, stand.screen or {}
        size = [(self.a_mm, frame.inside_a_mm), (self.b_mm, frame.inside_b_mm)]
        is_size = all(want is None or abs(want - has) <= SAME_MM for want, has in size)
        return is_size and self.mesh in (None, screen.get("mesh"))


@dataclass(frozen=True)
class Supply:
    """`bare` and `coated` hold tension and are free; `others` fit, but do not hold now."""

    bare: list[Standing] = field(default_factory=list)
    coated: list[Standing] = field(default_factory=list)
    others: list[Standing] = field(default_factory=list)


def is_free(stand: Standing) -> bool:
    """A mesh is on, it is in the house, and no job's stencil is on it, kept ones included."""
    place = (stand.state.get("place") or {}).get("to")
    made_for = stand.screen and (stand.screen["job"] or stand.stencil not in ("bare", "coated"))
    return bool(stand.screen) and not stand.burst and not made_for and place not in NOT_HERE


def supply(want: Want, stands: list[Standing]) -> Supply:
    found = Supply()
    for stand in stands:
        if is_free(stand) and want.fits(stand):
            holds = stand.condition["word"] in (PRINTS if stand.stencil == "coated" else COATED)
            shelf = getattr(found, stand.stencil) if holds else found.others
            shelf.append(stand)
    return found
