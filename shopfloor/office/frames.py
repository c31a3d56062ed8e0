"""The table of all frames: filter, search, sort."""

from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import render
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from frames.models import Frame, FrameState, Mesh, Press, ScreenState
from frames.wording import say as phrase
from shopfloor.auth import who_may
from shopfloor.office import say
from shopfloor.office.listing import Column, listing
from shopfloor.office.shop import the_shop
from shopfloor.office.standing import Standing, standings
from shopfloor.office.words import CHOICES, called

WORDS = ("low", "high", "uneven", "due", "unknown", "resting", "holding")
CONDITIONS = (*((word, called(word)) for word in (*WORDS, "burst")), ("none", _("no mesh")))
GONE = ("lost", "scrapped")
STENCILS = ("bare", "coated", "exposed", "inspected")
PLACES = (*CHOICES["to"], ("none", _("not said")))

COLUMNS = (
    Column("code", _("Frame"), lambda s: s.frame.number),
    Column("condition", _("Condition"), lambda s: [*WORDS, "burst", ""].index(s.condition["word"])),
    Column("mesh", _("Mesh"), lambda s: s.mesh),
    Column("size", _("Inside"), lambda s: (s.frame.inside_a_mm, s.frame.inside_b_mm)),
    Column("stencil", _("Stencil"), lambda s: s.stencil),
    Column("place", _("Place"), lambda s: s.place),
    Column("mean", _("Mean N/cm"), lambda s: s.check["mean"] if s.check else None, number=True),
    Column("spread", _("Spread"), lambda s: spread(s), number=True),
    Column("check", _("Checked"), lambda s: s.check_at),
)


@who_may("screen room", "manager")
def frames(request: HttpRequest) -> HttpResponse:
    now = timezone.now()
    asked = request.GET
    shown = Frame.objects.filter(retired=asked.get("retired") == "yes")
    stands = standings(shown, the_shop(), now)
    found = [stand for stand in stands if fits(stand, asked)]
    gone = sum(is_at(stand) in GONE for stand in found)
    return render(
        request,
        "office/frames.html",
        {
            "listing": listing(found, COLUMNS, asked),
            "here": len(found) - gone,
            "gone": phrase("{0} lost or scrapped", say.count(gone)) if gone else "",
            "choices": choices(asked),
            "asked": asked,
            "now": now,
        },
    )


def is_at(stand: Standing) -> str:
    return (stand.state.get("place") or {}).get("to", "none")


def spread(stand: Standing) -> float | None:
    """One spot alone says nothing of how far spots lie apart."""
    check = stand.check
    return check["spread"] if check and len(check["spots"]) > 1 else None


def fits(stand: Standing, asked: QueryDict) -> bool:
    """Whether a frame answers every filter of the address; a filter that is empty asks nothing."""
    tests: dict[str, Any] = {
        "condition": stand.condition["word"] or "none",
        "stencil": stand.stencil,
        "place": is_at(stand),
        "press": stand.on_press,
        "mesh": stand.screen["mesh"] if stand.screen else None,
        "size": stand.size,
    }
    wanted = {key: asked[key] for key in tests if asked.get(key)}
    return all(tests[key] == value for key, value in wanted.items()) and says(
        stand, asked.get("search", "")
    )


def says(stand: Standing, search: str) -> bool:
    """Every word of a search stands somewhere in the frame's own words."""
    text = " ".join(
        [
            stand.frame.code,
            stand.frame.second_name,
            stand.mesh,
            stand.size,
            stand.place,
            stand.frame.note,
        ]
    ).lower()
    return all(word in text for word in search.lower().split())


@dataclass(frozen=True)
class Choice:
    """One filter above the table."""

    key: str
    label: str
    options: list[tuple[str, str]]
    chosen: str


def choices(asked: QueryDict) -> list[Choice]:
    meshes = Mesh.objects.filter(pk__in=ScreenState.objects.live().values("mesh"))
    presses = Press.objects.filter(pk__in=FrameState.objects.exclude(press=None).values("press"))
    offered = (
        ("condition", phrase("Condition"), CONDITIONS),
        ("stencil", phrase("Stencil"), [(word, called(word)) for word in STENCILS]),
        ("mesh", phrase("Mesh"), [(str(mesh.pk), mesh.name) for mesh in meshes]),
        ("place", phrase("Place"), PLACES),
        ("press", phrase("Press"), [(str(press.pk), press.name) for press in presses]),
        ("retired", phrase("Shown"), [("yes", phrase("retired"))]),
    )
    return [Choice(key, label, list(opts), asked.get(key, "")) for key, label, opts in offered]
