"""Presses: their stations, and which parts of a frame lie under their clamps."""

from django import forms
from django.utils.translation import gettext_lazy as _

from frames.models import Press
from frames.wording import mark
from frames.wording import say as phrase
from shopfloor.office import say
from shopfloor.office.fields import NumberField, SpansField
from shopfloor.office.forms import ThingForm
from shopfloor.office.listing import Column

SIDES = (mark("near"), mark("right"), mark("far"), mark("left"))
HELP = _("Empty if no clamp lies there. Else: whole, or from–to in mm, like 0–200 700–900.")


class PressForm(ThingForm):
    kind = "press"
    groups = (
        ("", ("name", "stations")),
        (_("Bolts that clamps hide, by the side as it lies on the press"), SIDES),
    )
    name = forms.CharField(label=_("Name"))
    stations = NumberField(label=_("Stations"), whole=True)
    near = SpansField(label=_("Near side, from its left"), required=False, help_text=HELP)
    right = SpansField(label=_("Right side, from near"), required=False)
    far = SpansField(label=_("Far side, from its left"), required=False)
    left = SpansField(label=_("Left side, from near"), required=False)

    @classmethod
    def shown(cls, body: dict) -> dict:
        spans: dict[str, list] = {side: [] for side in SIDES}
        for clamp in body["clamps"]:
            spans[clamp["side"]].append((clamp["from_mm"], clamp["to_mm"]))
        return body | spans

    def field_of(self, name: str) -> str | None:
        """A clamp that does not fit is told beside the side it lies on."""
        list_name, _, rest = name.partition(".")
        if list_name != "clamps":
            return super().field_of(name)
        place = rest.partition(".")[0]
        return self.values()["clamps"][int(place)]["side"] if place.isdigit() else "near"

    def values(self) -> dict:
        clean = dict(self.cleaned_data)
        clamps = [
            {"side": side, "from_mm": start, "to_mm": end}
            for side in SIDES
            for start, end in clean.pop(side)
        ]
        return clean | {"clamps": clamps}


COLUMNS = (
    Column("name", _("Press"), lambda press: press.name),
    Column("stations", _("Stations"), lambda press: press.stations, number=True),
    Column("clamps", _("Under clamps")),
    Column("adjusters", _("Adjusters"), lambda press: len(press.adjusters), number=True),
)


def cells(press: Press) -> list[str]:
    hidden = dict.fromkeys(clamp["side"] for clamp in press.clamps)
    adjusters = say.count(len(press.adjusters)) if press.adjusters else ""
    return [
        say.count(press.stations),
        ", ".join(map(phrase, hidden)) or phrase("nothing"),
        adjusters,
    ]
