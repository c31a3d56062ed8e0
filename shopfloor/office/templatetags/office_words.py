"""What templates say: numbers, ages, flags, and the rooms of the office."""

from collections.abc import Callable
from datetime import datetime
from json import dumps

from django import template
from django.urls import reverse_lazy
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from frames.flags import MEANINGS
from shopfloor.auth.roles import MANAGER, holds
from shopfloor.office import say

Part = Callable[[str], list[str]]

register = template.Library()
register.filter("reading", say.number)
register.filter("thousands", say.count)
register.filter("moment", say.moment)
register.filter("plain", say.plain)
register.filter("percent", say.percent)

ROOMS = (
    ("Today", reverse_lazy("office:today")),
    ("Frames", reverse_lazy("office:frames")),
    ("Jobs", reverse_lazy("office:jobs")),
    (_("Screen room"), reverse_lazy("office:screen-room")),
    ("Labels", reverse_lazy("office:labels")),
    ("Log", reverse_lazy("office:flagged")),
    ("Shop", reverse_lazy("office:things", args=["meshes"])),
)
PHONES = ("Phones", reverse_lazy("office:phones"))
SHELVES = (
    *(
        (name, reverse_lazy("office:things", args=[name.lower()]))
        for name in ("Meshes", "Presses", "Meters", "Operators")
    ),
    ("Lists", reverse_lazy("exchange:lists")),
    ("Fitting mesh", reverse_lazy("office:stretching")),
)
LIMITS = ("Names and limits", reverse_lazy("office:shop"))


@register.filter
def ago(when: datetime | None) -> str:
    return say.ago(when, timezone.now())


@register.filter
def json(value: object) -> str:
    return dumps(value, separators=(",", ":"))


@register.filter
def flag(name: str) -> str:
    return MEANINGS.get(name, name.replace("_", " "))


@register.inclusion_tag("office/_rooms.html", takes_context=True)
def rooms(context: template.Context) -> dict:
    return {"rooms": _shown(context, ROOMS, PHONES, _part)}


@register.inclusion_tag("office/_rooms.html", takes_context=True)
def shelves(context: template.Context) -> dict:
    """What the room Shop holds."""
    return {"rooms": _shown(context, SHELVES, LIMITS, lambda path: path.split("/")[2:4])}


def _part(path: str) -> list[str]:
    """Pages whose addresses begin alike are one room."""
    return path.split("/")[2:3]


def _shown(context: template.Context, links: tuple, for_manager: tuple, part: Part) -> list[dict]:
    request = context["request"]
    leads = holds(request.user, frozenset({MANAGER}))
    return [
        {
            "name": name,
            "href": href,
            "here": part(request.path) == part(str(href)),
            "exact": request.path == href,
        }
        for name, href in (*links, *([for_manager] if leads else []))
    ]
