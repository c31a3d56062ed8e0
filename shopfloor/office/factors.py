"""What the log has taught: stiffness and register factors of every frame with its mesh."""

from dataclasses import dataclass
from typing import Any
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.text import format_lazy
from django.utils.translation import gettext_lazy as _

from frames.models import Derived, Frame, Mesh, ScreenState
from frames.wording import mark
from frames.wording import say as phrase
from shopfloor.auth import who_may
from shopfloor.office.listing import Column, listing

SOFTER = mark(
    "Where turns were measured, the mesh gives {0} of what its card leads one to expect: {1} "
    "softer. Plans reckon with that, frame by frame."
)
STIFFER = mark(
    "Where turns were measured, the mesh gives {0} of what its card leads one to expect: {1} "
    "stiffer. Plans reckon with that, frame by frame."
)
QUANTITIES = (("x", _("along A")), ("y", _("across A")), ("register", _("register")))
STENCILS = (("bare", _("Bare")), ("coated", _("Coated")))
FACTORS = [
    (stencil, quantity, format_lazy("{}, {}", on, said))
    for stencil, on in STENCILS
    for quantity, said in QUANTITIES
]
BAND = 1.645  # nine of ten


@dataclass(frozen=True)
class Learned:
    """One live screen's factors; `values` hold mean, low, high and count by stencil, quantity."""

    frame: Frame
    mesh: str
    trusted: bool
    why: str
    values: dict[str, dict[str, dict[str, Any]]]

    def of(self, stencil: str, quantity: str) -> dict[str, Any]:
        return self.values[stencil][quantity]

    @property
    def cells(self) -> list[tuple[str, dict[str, Any]]]:
        """Every factor with what it is called, in the order of the columns."""
        return [(label, self.of(stencil, quantity)) for stencil, quantity, label in FACTORS]


def _by(stencil: str, quantity: str) -> Any:
    return lambda row: row.of(stencil, quantity)["mean"]


COLUMNS = (
    Column("frame", _("Frame"), lambda row: row.frame.code),
    Column("mesh", _("Mesh"), lambda row: row.mesh),
    *(
        Column(f"{stencil}-{quantity}", label, _by(stencil, quantity), True)
        for stencil, quantity, label in FACTORS
    ),
    Column("trust", _("Turns"), lambda row: not row.trusted),
)


@who_may("screen room", "manager")
def factors(request: HttpRequest) -> HttpResponse:
    rows = learned()
    context = {
        "listing": listing(rows, COLUMNS, request.GET),
        "sentence": sentence(rows),
        "doubted": [row for row in rows if not row.trusted],
    }
    return render(request, "office/factors.html", context)


def learned() -> list[Learned]:
    bodies = {str(row.screen): row.body for row in Derived.objects.of_kind("estimate")}
    live = ScreenState.objects.live().filter(pk__in=bodies)
    frames = {f.pk: f for f in Frame.objects.filter(pk__in=[s.frame for s in live])}
    meshes = {m.pk: m.name for m in Mesh.objects.filter(pk__in=[s.mesh for s in live])}
    rows = [
        Learned(
            frames[state.frame],
            meshes.get(state.mesh, ""),
            bodies[str(state.pk)]["trusted"],
            _why(bodies[str(state.pk)]),
            _values(bodies[str(state.pk)]["factors"]),
        )
        for state in live
        if state.frame in frames
    ]
    return sorted(rows, key=lambda row: row.frame.number)


def doubt(screen_id: UUID) -> str:
    """Why the count of turns on a screen is not trusted; empty if it is."""
    row = Derived.objects.of_kind("estimate").filter(screen=screen_id).first()
    return "" if row is None or row.body["trusted"] else _why(row.body)


def _why(estimate: dict[str, Any]) -> str:
    """Derived in the shop's language; a text of the catalogue without values, so said anew."""
    return phrase(estimate["why"] or "")


def _values(factors: dict[str, Any]) -> dict[str, Any]:
    return {stencil: {q: _value(factors[stencil][q]) for q, _ in QUANTITIES} for stencil in factors}


def _value(factor: dict[str, Any]) -> dict[str, Any]:
    half = BAND * factor["sd"]
    return factor | {"low": factor["mean"] - half, "high": factor["mean"] + half}


def sentence(rows: list[Learned]) -> str:
    """What the shop's meshes do, against their cards, in words."""
    known = [row.of("bare", q) for row in rows for q in "xy" if row.of("bare", q)["count"]]
    if not known:
        return phrase(
            "Nothing was learned yet: check a screen right before and right after turning it."
        )
    mean = sum(value["mean"] for value in known) / len(known)
    return phrase(SOFTER if mean < 1 else STIFFER, f"{mean:.0%}", f"{abs(1 - mean):.0%}")
