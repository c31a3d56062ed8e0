"""One frame: how it stands, its history, its tension over time, the screens it carried."""

from typing import Any
from uuid import UUID

from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone

from frames.derived import undone
from frames.models import Colour, Entry, Frame, Mesh, ScreenState
from frames.wording import say as phrase
from shopfloor.auth import who_may
from shopfloor.office import at_risk, factors, outlook, plotted, say, tension
from shopfloor.office.belonging import entries_of
from shopfloor.office.frame_form import HEADS, LOCKS, PROFILES
from shopfloor.office.history import History
from shopfloor.office.shop import the_shop
from shopfloor.office.standing import Standing, moment, standings

LINES = 50
AS_COUNTED = {"face": "squeegee", "near": "A"}


@who_may("screen room", "manager")
def frame(request: HttpRequest, frame_id: UUID) -> HttpResponse:
    found, shop = get_object_or_404(Frame, pk=frame_id), the_shop()
    now = timezone.now()
    [stand] = standings([found], shop, now)
    read = tension.readings(stand.row) if stand.row else []
    departures = outlook.departures(stand)
    context = {
        "frame": found,
        "stand": stand,
        "drawing": drawing(stand),
        "facts": [*facts(stand, shop.length_unit), *outlook.facts(stand, now)],
        "turned_in": say.turns(register_turns(stand), found.step_48ths),
        "older": older_screens(stand),
        "tension": read,
        "departures": departures,
        **plotted.context(stand, now, read, departures),
        "followers": at_risk.followers_of(stand, now),
        "doubt": factors.doubt(stand.row.pk) if stand.row else "",
        "undone": undone.of_screens([stand.row.pk]).get(stand.row.pk, []) if stand.row else [],
        "history": history(Entry.objects.of_frame(frame_id), request.GET.get("page"), found),
    }
    return render(request, "office/frame.html", context)


@who_may("screen room", "manager")
def screen(request: HttpRequest, screen_id: UUID) -> HttpResponse:
    """One screen, mostly one that is no more: what it was, its readings and its entries."""
    row = get_object_or_404(ScreenState, pk=screen_id)
    found = get_object_or_404(Frame, pk=row.frame)
    read = tension.readings(row)
    context = {
        "frame": found,
        "screen": row.body,
        "mesh": Mesh.objects.filter(pk=row.mesh).first(),
        "ended": moment(row.body["ended"]["at"]) if row.body["ended"] else None,
        "fitted": row.fitted_at,
        "tension": read,
        "tension_said": plotted.tension_said(read),
        "history": history(entries_of(row), request.GET.get("page"), found),
    }
    return render(request, "office/screen.html", context)


def history(entries: Any, page: str | None, frame: Frame) -> dict[str, Any]:
    """One page of entries, newest first, told as lines."""
    cut = Paginator(entries.newest_first(), LINES).get_page(page)
    return {"page": cut, "lines": History(cut.object_list, frame.step_48ths).lines()}


def drawing(stand: Standing) -> dict[str, Any]:
    """What the drawing shows: the last readings, turns in for register, bolts that do not turn."""
    shown = {
        "frame": stand.frame.body(),
        "view": AS_COUNTED,
        "states": stand.state.get("bolts", {}),
    }
    if stand.check:
        shown |= {
            "spots": stand.check["spots"],
            "target": stand.screen["target_n_per_cm"],
            "tolerance": stand.screen["tolerance_n_per_cm"],
        }
    return shown | {"turns": register_turns(stand)}


def register_turns(stand: Standing) -> dict[str, int]:
    return stand.screen["register_turns"] if stand.screen else {}


def facts(stand: Standing, unit: str) -> list[tuple[str, str]]:
    """Label and value, only what is known."""
    frame, screen = stand.frame, stand.screen
    place = stand.state.get("place")
    known = [
        (
            phrase("Place"),
            phrase("{0}, since {1}", stand.place, say.moment(moment(place["since"])))
            if place
            else "",
        )
    ]
    if screen and not stand.burst:
        known += screen_facts(stand, screen)
    known += [
        (phrase("Inside, A × B"), stand.size),
        (phrase("Profile"), dict(PROFILES)[frame.profile]),
        (phrase("Lock"), dict(LOCKS)[frame.lock]),
        (phrase("Rods"), frame.rods),
        (
            phrase("Bolts"),
            phrase(
                "{0}, pitch {1} mm, {2} head",
                bolt_counts(frame),
                say.plain(frame.pitch_mm),
                dict(HEADS)[frame.head],
            ),
        ),
        (phrase("Note"), frame.note),
    ]
    return [(label, value) for label, value in known if value]


def screen_facts(stand: Standing, screen: dict[str, Any]) -> list[tuple[str, str]]:
    target, slack = screen["target_n_per_cm"], screen["tolerance_n_per_cm"]
    printed = say.count(screen["impressions"]) if screen["impressions"] else ""
    return [
        (phrase("Mesh"), stand.mesh),
        (phrase("Mesh fitted"), say.moment(moment(screen["fitted_at"]))),
        (phrase("Target"), phrase("{0} ± {1} N/cm", say.number(target), say.number(slack))),
        (phrase("Stencil"), stencil_text(screen)),
        (phrase("Impressions"), printed),
        (phrase("Retensions"), str(screen["retensions"] or "")),
        (phrase("Reclaims"), str(screen["reclaims"] or "")),
    ]


def stencil_text(screen: dict[str, Any]) -> str:
    if not screen["colour"]:
        return phrase(screen["stencil"])
    colour = Colour.objects.select_related("job").filter(pk=screen["colour"]).first()
    said = phrase(screen["stencil"])
    return phrase("{0}, job {1}, {2}", said, colour.job.number, colour.name) if colour else said


def bolt_counts(frame: Frame) -> str:
    return ", ".join(f"{side} {len(places)}" for side, places in sorted(frame.bolts.items()))


def older_screens(stand: Standing) -> list[dict[str, Any]]:
    """The screens that this frame carried before, newest first."""
    now_on = stand.screen["screen"] if stand.screen else None
    rows = (
        ScreenState.objects.filter(frame=stand.frame.pk).exclude(pk=now_on).order_by("-fitted_at")
    )
    meshes = dict(Mesh.objects.filter(pk__in=[r.mesh for r in rows]).values_list("pk", "name"))
    return [
        {
            "id": row.pk,
            "mesh": meshes.get(row.mesh, phrase("a mesh that is not known here")),
            "fitted": row.fitted_at,
            "ended": row.ended_at,
            "how": (row.body["ended"] or {}).get("how", ""),
            "retensions": row.body["retensions"],
            "reclaims": row.body["reclaims"],
        }
        for row in rows
    ]
