"""Each colour of a job from coat to print: its screen, what is done, what is missing, what next."""

from dataclasses import dataclass
from typing import Any
from uuid import UUID

from django.utils.translation import gettext as _

from frames.models import Colour
from shopfloor.office import say
from shopfloor.office.readiness import PRINTS, READY, best_of, screen_of
from shopfloor.office.standing import Standing
from shopfloor.office.supply import Want, supply

Step = tuple[str, bool]
MOST_OFFERED = 3


@dataclass(frozen=True)
class Row:
    colour: Colour
    stands: list[Standing]
    why: str
    steps: list[Step]
    following: str

    @property
    def is_ready(self) -> bool:
        return self.why == READY


def rows(
    colours: list[Colour], stands: list[Standing], signed: dict[str, Any], run: int | None
) -> list[Row]:
    """`stands` are all frames in use; `signed` maps a colour to its signed OK sheet."""
    missing = [colour for colour in colours if not screen_of(colour, stands)[0]]
    offers = _offers(missing, stands)
    return [
        _row(colour, stands, str(colour.pk) in signed, run, offers.get(colour, []))
        for colour in colours
    ]


def _offers(missing: list[Colour], stands: list[Standing]) -> dict[Colour, list[Standing]]:
    """What the rack offers each colour that has no screen, coated or else bare; no frame twice."""
    found = {colour: supply(Want.of(colour), stands) for colour in missing}
    offers: dict[Colour, list[Standing]] = {colour: [] for colour in missing}
    taken: set[UUID] = set()
    # one each before anybody has a choice
    for _turn in range(MOST_OFFERED):
        for colour, offered in offers.items():
            of = found[colour]
            shelf = of.coated + of.bare if not offered else getattr(of, offered[0].stencil)
            free = [stand for stand in shelf if stand.frame.pk not in taken]
            offered += free[:1]
            taken |= {stand.frame.pk for stand in free[:1]}
    return offers


def _row(
    colour: Colour,
    stands: list[Standing],
    is_signed: bool,
    run: int | None,
    offered: list[Standing],
) -> Row:
    own, why = screen_of(colour, stands)
    if not own:
        return Row(colour, own, why, _steps(None, is_signed, run), _make_one(colour, offered))
    best = best_of(own)
    following = _following(best, why, is_signed, run)
    return Row(colour, own, why, _steps(best, is_signed, run), following)


def _steps(stand: Standing | None, is_signed: bool, run: int | None) -> list[Step]:
    stencil = stand.stencil if stand else ""
    printed = stand.screen["impressions"] if stand else 0
    return [
        (_("exposed"), stencil in ("exposed", "inspected")),
        (_("inspected"), stencil == "inspected"),
        (_("holds tension"), bool(stand) and stand.condition["word"] in PRINTS),
        (_("on press"), bool(stand and stand.on_press)),
        (_("OK sheet"), is_signed),
        (_printed(printed, run), bool(printed and printed >= (run or 1))),
    ]


def _printed(count: int, run: int | None) -> str:
    if not count:
        return _("printed")
    told = {"count": say.count(count), "run": say.count(run)}
    return _("printed %(count)s of %(run)s") % told if run else _("printed %(count)s") % told


def _make_one(colour: Colour, offered: list[Standing]) -> str:
    """What to do for a colour that has no screen, with what the rack offers."""
    mesh = colour.mesh.name if colour.mesh else _("a mesh of your choice")
    codes = ", ".join(stand.frame.code for stand in offered)
    if offered and offered[0].stencil == "coated":
        return _("Expose one that is coated: %s.") % codes
    if offered:
        return _("Coat one that is free: %s.") % codes
    return _("No free screen with %s holds: stretch or retension one.") % mesh


def _following(stand: Standing, why: str, is_signed: bool, run: int | None) -> str:
    code, word = stand.frame.code, stand.condition["word"]
    if why != READY:
        if stand.stencil != "inspected":
            return _("Inspect the stencil on %s.") % code
        if word == "unknown":
            return _("Measure %s.") % code
        return _("Measure %s again; if it stays so, make another screen.") % code
    if not stand.on_press:
        return _("Put %s on the press.") % code
    if stand.screen["tweaks"]["open"]:
        return _("Pull one and give the after marks of %s.") % code
    if not is_signed:
        return _("Pull the OK sheet and have it signed.")
    left = (run or 0) - stand.screen["impressions"]
    return _("Print %s more.") % say.count(left) if left > 0 else _("Nothing more to do.")
