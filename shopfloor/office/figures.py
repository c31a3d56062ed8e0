"""Figures for the manager: what register costs, what goes with it, how long meshes live."""

from datetime import timedelta
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from frames import charting
from frames import figures as reckoned
from frames.models import Frame, Job, Mesh, Press
from shopfloor.auth import who_may
from shopfloor.office.words import CHOICES

PERIODS = {"30": 30, "90": 90, "365": 365}
USUAL = "90"
MOST_ROWS = 12
SURE = 0.05
TABLES = (
    ("cause", "Cause", None),
    ("press", "Press", Press),
    ("job", "Job", Job),
    ("frame", "Frame", Frame),
)


@who_may("screen room", "manager")
def figures(request: HttpRequest) -> HttpResponse:
    days = request.GET.get("days", USUAL)
    days = days if days in PERIODS else USUAL
    now = timezone.now()
    cost = reckoned.register_cost(now - timedelta(days=PERIODS[days]), now)
    context = {
        "days": days,
        "periods": list(PERIODS),
        "cost": cost,
        "tables": [(label, _named(cost[key], of)) for key, label, of in TABLES],
        "sets": _named(cost["sets"], Job, "job"),
        "together": _together(cost["together"]),
        "charts": _named(charting.by_mesh(), Mesh, "mesh"),
        "lives": _named(reckoned.mesh_lives(), Mesh, "mesh"),
    }
    return render(request, "office/figures.html", context)


def _named(rows: list[dict[str, Any]], of: Any, key: str = "id") -> list[dict[str, Any]]:
    """Rows with the names of their things; a cause is its own word."""
    shown = rows[:MOST_ROWS]
    if of is None:
        words = dict(CHOICES["cause"])
        return [row | {"name": words.get(row[key], row[key])} for row in shown]
    names = {
        str(thing.pk): str(thing) for thing in of.objects.filter(pk__in=[r[key] for r in shown])
    }
    return [row | {"name": names.get(row[key], "one that is not known here")} for row in shown]


def _together(found: tuple[float, float] | None) -> str:
    """Whether sets further apart took more tweaks, in one sentence."""
    if found is None:
        return "Too few jobs yet to say whether sets further apart take more tweaks."
    rank, chance = found
    if chance > SURE:
        return f"Sets further apart did not surely take more tweaks (rank correlation {rank:.2f})."
    way = "more" if rank > 0 else "fewer"
    return f"Sets further apart took {way} tweaks (rank correlation {rank:.2f}, p {chance:.3f})."
