"""The screen room's work list: by mesh and size, what jobs need against what is ready."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import timedelta

from django.db.models import F, QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.translation import gettext as _

from frames.models import Colour, Frame
from shopfloor.auth import who_may
from shopfloor.office import say, to_do
from shopfloor.office.readiness import READY, screen_of
from shopfloor.office.shop import the_shop
from shopfloor.office.standing import Standing, standings
from shopfloor.office.supply import Supply, Want, supply

CHOICES = (3, 7, 14, 30)
ALL = "all"


@dataclass(frozen=True)
class Needed:
    colour: Colour
    stands: list[Standing]
    why: str


@dataclass(frozen=True)
class Group:
    """Colours that want the same mesh and size, and the free screens that fit."""

    key: str
    mesh: str
    size: str
    free: Supply
    colours: list[Needed] = field(default_factory=list)

    @property
    def ready(self) -> int:
        return sum(one.why == READY for one in self.colours)

    @property
    def to_make(self) -> int:
        return sum(not one.stands for one in self.colours)

    @property
    def in_hand(self) -> int:
        """Exposed, but something is still in the way."""
        return len(self.colours) - self.ready - self.to_make

    @property
    def short(self) -> int:
        return max(0, self.to_make - len(self.free.coated) - len(self.free.bare))


@who_may("screen room", "manager")
def work_list(request: HttpRequest) -> HttpResponse:
    shop, now = the_shop(), timezone.now()
    asked = request.GET.get("days", "")
    days = int(asked) if asked in map(str, CHOICES) else shop.look_ahead_days
    until = None if asked == ALL else timezone.localdate(now) + timedelta(days=days)
    stands = standings(Frame.objects.in_use(), shop, now)
    colours = list(wanted(until))
    context = {
        "tasks": to_do.tasks(stands, colours),
        "groups": groups(colours, stands, shop.length_unit),
        "days": sorted({*CHOICES, shop.look_ahead_days}),
        "chosen": ALL if asked == ALL else days,
        "now": now,
    }
    return render(request, "office/screen_room.html", context)


def wanted(until: object) -> QuerySet[Colour]:
    """Colours of open jobs due by then, late ones too; of every open job if `until` is None."""
    colours = Colour.objects.in_use().filter(job__retired=False, job__done=False)
    if until is not None:
        colours = colours.filter(job__due__lte=until)
    by_day = F("job__due").asc(nulls_last=True)
    return colours.select_related("job", "mesh").order_by(by_day, "job__number", "position")


def groups(colours: Iterable[Colour], stands: list[Standing], unit: str) -> list[Group]:
    """What is short comes first, then by name of the mesh."""
    by_want: dict[Want, list[Colour]] = defaultdict(list)
    for colour in colours:
        by_want[Want.of(colour)].append(colour)
    made = [_group(want, its, stands, unit) for want, its in by_want.items()]
    return sorted(made, key=lambda group: (-group.short, group.mesh, group.size))


def _group(want: Want, colours: list[Colour], stands: list[Standing], unit: str) -> Group:
    mesh = colours[0].mesh
    any_size = want.a_mm is None or want.b_mm is None
    return Group(
        key="-".join(str(part) for part in (want.mesh, want.a_mm, want.b_mm)),
        mesh=mesh.name if mesh else _("any mesh"),
        size=_("any size") if any_size else say.size(want.a_mm, want.b_mm, unit),
        free=supply(want, stands),
        colours=[Needed(colour, *screen_of(colour, stands)) for colour in colours],
    )
