"""Stencils kept for a repeat with their rack places; frames that are lost, scrapped, in repair."""

from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.translation import gettext as _

from frames.models import Colour, Frame, FrameState
from shopfloor.auth import who_may
from shopfloor.office.shop import the_shop
from shopfloor.office.standing import Standing, moment, standings

AWAY = ("repair", "lost", "scrapped")


@dataclass(frozen=True)
class Kept:
    """A stencil that is still on its screen after its job, or kept for the next one."""

    stand: Standing
    colour: Colour

    @property
    def order(self) -> tuple[str, int]:
        return self.colour.job.number, self.colour.position


@who_may("screen room", "manager")
def stencils(request: HttpRequest) -> HttpResponse:
    stands = standings(Frame.objects.in_use(), the_shop(), timezone.now())
    held = [s for s in stands if s.screen and s.screen["colour"] and not s.burst]
    ids = {s.screen["colour"] for s in held}
    colours = {str(c.pk): c for c in Colour.objects.filter(pk__in=ids).select_related("job")}
    found = [Kept(s, colours[c]) for s in held if (c := s.screen["colour"]) in colours]
    found.sort(key=lambda kept: kept.order)
    over = [kept for kept in found if kept.colour.job.done or kept.colour.job.retired]
    context = {
        "kept": [kept for kept in found if kept.colour.job.keep_stencils],
        "over": [kept for kept in over if not kept.colour.job.keep_stencils],
    }
    return render(request, "office/stencils.html", context)


@who_may("screen room", "manager")
def away(request: HttpRequest) -> HttpResponse:
    gone = FrameState.objects.filter(place_kind__in=AWAY).values("frame")
    frames = Frame.objects.in_use().filter(pk__in=gone)
    stands = standings(frames, the_shop(), timezone.now())
    titles = {"repair": _("In repair"), "lost": _("Lost"), "scrapped": _("Scrapped")}
    groups = [
        (where, title, [(s, since(s)) for s in stands if s.state["place"]["to"] == where])
        for where, title in titles.items()
    ]
    return render(request, "office/away.html", {"groups": groups})


def since(stand: Standing) -> object:
    return moment(stand.state["place"]["since"])
