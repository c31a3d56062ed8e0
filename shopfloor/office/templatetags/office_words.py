"""What templates say: numbers, ages, flags, and the rooms of the office."""

from collections.abc import Callable
from datetime import datetime
from json import dumps

from django import template
from django.urls import reverse_lazy
from django.utils import timezone
from django.utils.translation import get_language
from django.utils.translation import gettext_lazy as _

from frames.flags import MEANINGS
from frames.wording import say as phrase
from frames.wording import say_many
from shopfloor import build
from shopfloor.auth.roles import MANAGER, holds
from shopfloor.office import misfits, say, words

Part = Callable[[str], list[str]]

register = template.Library()
register.filter("reading", say.number)
register.filter("tenths", say.tenths)
register.filter("thousands", say.count)
register.filter("moment", say.moment)
register.filter("plain", say.plain)
register.filter("exact", say.exact)
register.filter("dated", say.dated)
register.filter("shortly", say.day)
register.filter("calendar_day", say.calendar_day)
register.filter("percent", say.percent)


@register.simple_tag
def catalogues() -> list[str]:
    """What the page's scripts find their texts in, in the reader's language."""
    return build.catalogue(get_language() or "")


ROOMS = (
    (_("Today"), reverse_lazy("office:today")),
    (_("Frames"), reverse_lazy("office:frames")),
    (_("Jobs"), reverse_lazy("office:jobs")),
    (_("Screen room"), reverse_lazy("office:screen-room")),
    (_("Labels"), reverse_lazy("office:labels")),
    (_("Log"), reverse_lazy("office:flagged")),
    (_("Shop"), reverse_lazy("office:things", args=["meshes"])),
)
PHONES = (_("Phones"), reverse_lazy("office:phones"))
SHELVES = (
    (_("Meshes"), reverse_lazy("office:things", args=["meshes"])),
    (_("Presses"), reverse_lazy("office:things", args=["presses"])),
    (_("Meters"), reverse_lazy("office:things", args=["meters"])),
    (_("Operators"), reverse_lazy("office:things", args=["operators"])),
    (_("Lists"), reverse_lazy("exchange:lists")),
    (_("Fitting mesh"), reverse_lazy("office:stretching")),
)
LIMITS = (_("Names and limits"), reverse_lazy("office:shop"))


@register.filter
def ago(when: datetime | None) -> str:
    return say.ago(when, timezone.now())


@register.filter
def json(value: object) -> str:
    return dumps(value, separators=(",", ":"))


@register.filter
def misfit(problem: dict) -> str:
    return misfits.misfit(problem)


@register.filter
def flag(name: str) -> str:
    return phrase(MEANINGS[name]) if name in MEANINGS else name.replace("_", " ")


@register.filter
def called(word: str | None) -> str:
    """A word of the book's own, such as a condition, as people call it."""
    return phrase(str(word)) if word else ""


@register.filter
def kind(name: str) -> str:
    return words.kind(name)


@register.filter
def counted(count: int, noun: str) -> str:
    """How many of what: 1 entry, 12 entries."""
    one, many = words.COUNTED[noun]
    return say_many(one, many, count)


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
