"""Figures for the manager: what register costs, what goes with it, how long meshes live."""

from datetime import timedelta
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from frames import charting
from frames import figures as reckoned
from frames.models import Frame, Job, Mesh, Press
from frames.wording import mark, written
from frames.wording import say as phrase
from shopfloor.auth import who_may
from shopfloor.office import prices, say
from shopfloor.office.words import CHOICES

PERIODS = {"30": 30, "90": 90, "365": 365}
USUAL = "90"
MOST_ROWS = 12
SURE = 0.05
TABLES = (
    ("cause", _("Cause"), _("By cause, most minutes first"), None),
    ("press", _("Press"), _("By press, most minutes first"), Press),
    ("job", _("Job"), _("By job, most minutes first"), Job),
    ("frame", _("Frame"), _("By frame, most minutes first"), Frame),
)
PAGES = {Press: "office:press", Job: "office:job", Frame: "office:frame"}

MORE = mark("Sets further apart took more tweaks (rank correlation {0}, p {1}).")
FEWER = mark("Sets further apart took fewer tweaks (rank correlation {0}, p {1}).")


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
        "tables": [(label, caption, _named(cost[key], of)) for key, label, caption, of in TABLES],
        "sets": _named(cost["sets"], Job, "job"),
        "together": _together(cost["together"]),
        "charts": _named(charting.by_mesh(), Mesh, "mesh"),
        "weeks": cost["weeks"],
        "weeks_said": _weeks_said(cost["weeks"]),
        "lives": _named(prices.lives_told(), Mesh, "mesh"),
    }
    return render(request, "office/figures.html", context)


def _weeks_said(weeks: list[dict[str, Any]]) -> str:
    """What the weeks show, in one sentence."""
    if not weeks:
        return ""
    worst = max(weeks, key=lambda row: row["minutes"])
    mean = sum(row["minutes"] for row in weeks) / len(weeks)
    return phrase(
        "{0} minutes a week on average; most in the week of {1}: {2}.",
        say.count(round(mean)),
        say.day(worst["day"]),
        say.count(worst["minutes"]),
    )


def _named(rows: list[dict[str, Any]], of: Any, key: str = "id") -> list[dict[str, Any]]:
    """Rows with the names of their things and their pages; a cause is its own word."""
    shown = rows[:MOST_ROWS]
    if of is None:
        words = dict(CHOICES["cause"])
        return [row | {"name": words.get(row[key], row[key])} for row in shown]
    names = {
        str(thing.pk): str(thing) for thing in of.objects.filter(pk__in=[r[key] for r in shown])
    }
    return [
        row
        | {"name": names.get(row[key], phrase("one that is not known here"))}
        | {"href": reverse(PAGES[of], args=[row[key]]) if of in PAGES and row[key] in names else ""}
        for row in shown
    ]


def _together(found: tuple[float, float] | None) -> str:
    """Whether sets further apart took more tweaks, in one sentence."""
    if found is None:
        return phrase("Too few jobs yet to say whether sets further apart take more tweaks.")
    rank, chance = found
    if chance > SURE:
        return phrase(
            "Sets further apart did not surely take more tweaks (rank correlation {0}).",
            written(rank, ".2f"),
        )
    return phrase(MORE if rank > 0 else FEWER, written(rank, ".2f"), written(chance, ".3f"))
