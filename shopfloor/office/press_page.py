"""One press: what stands at its stations, what its clamps leave free, what its adjusters do."""

from dataclasses import dataclass
from typing import Any
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone

from frames.models import Colour, Frame, FrameState, Press
from shopfloor.auth import who_may
from shopfloor.office import press_drawing, say
from shopfloor.office.shop import the_shop
from shopfloor.office.standing import Standing, standings

PLACES = {"A": "near", "B": "right", "C": "far", "D": "left"}
LIKE = (600, 750)  # drawn for a frame of this size in mm where the press holds none


@dataclass(frozen=True)
class Station:
    """`number` is None for frames on this press at no station that it has."""

    number: int | None
    stands: list[tuple[Standing, Colour | None]]


@who_may("screen room", "manager")
def press(request: HttpRequest, press_id: UUID) -> HttpResponse:
    found = get_object_or_404(Press, pk=press_id)
    shop = the_shop()
    here = FrameState.objects.filter(press=press_id, place_kind="press").values("frame")
    stands = standings(Frame.objects.in_use().filter(pk__in=here), shop, timezone.now())
    context = {
        "press": found,
        "stations": stations(found, stands),
        "adjusters": in_order(found),
        "sizes": reachable(found, stands, shop.length_unit),
        "drawing": drawing(found, stands),
    }
    return render(request, "office/press.html", context)


def stations(press: Press, stands: list[Standing]) -> list[Station]:
    ids = {s.screen["colour"] for s in stands if s.screen and s.screen["colour"]}
    colours = {str(c.pk): c for c in Colour.objects.filter(pk__in=ids).select_related("job")}
    at: dict[int | None, list] = {number: [] for number in range(1, press.stations + 1)}
    for stand in stands:
        number = stand.state["place"]["station"]
        colour = colours.get((stand.screen or {}).get("colour"))
        at.setdefault(number if number in at else None, []).append((stand, colour))
    return [Station(number, its) for number, its in at.items()]


def in_order(press: Press) -> list[tuple[int, dict[str, Any]]]:
    """Each adjuster with its place in the list, in the order in which they are turned."""
    return sorted(enumerate(press.adjusters), key=lambda one: (one[1]["order"], one[0]))


def drawing(press: Press, stands: list[Standing]) -> dict[str, Any]:
    widest = max((s.frame for s in stands), key=lambda frame: frame.inside_a_mm, default=None)
    size = (widest.inside_a_mm, widest.inside_b_mm) if widest else LIKE
    return {
        "clamps": press_drawing.clamp_boxes(press.clamps, *size),
        "arrows": press_drawing.arrows([adjuster for _, adjuster in in_order(press)]),
    }


def reachable(press: Press, stands: list[Standing], unit: str) -> list[dict[str, Any]]:
    """For each size of frame: the bolts of each side that no clamp hides, side A towards you."""
    frames = [stand.frame for stand in stands] or list(Frame.objects.in_use())
    alike = {(f.inside_a_mm, f.inside_b_mm, str(f.bolts)): f for f in frames}
    return [
        {
            "size": say.size(a, b, unit),
            "sides": [(side, *free(press, frame, side)) for side in PLACES],
        }
        for (a, b, _), frame in sorted(alike.items())
    ]


def free(press: Press, frame: Frame, side: str) -> tuple[str, int]:
    """Names of the bolts one can reach on a side, and how many it has."""
    spans = [
        (clamp["from_mm"] or 0, clamp["to_mm"] or float("inf"))
        for clamp in press.clamps
        if clamp["side"] == PLACES[side]
    ]
    length = frame.inside_a_mm if side in "AC" else frame.inside_b_mm
    # C and D are counted back towards the near left corner, clamps always away from it
    places = [mm if side in "AB" else length - mm for mm in frame.bolts[side]]
    names = [
        f"{side}{number}"
        for number, at in enumerate(places, 1)
        if not any(start <= at <= end for start, end in spans)
    ]
    return ", ".join(say.rows(names)), len(places)
