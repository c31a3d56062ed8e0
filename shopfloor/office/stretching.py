"""How the shop fits mesh: what the phone's pages of it go by."""

import re
from typing import Any

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext_lazy as _

from frames.forms import Stretching
from shopfloor.auth import who_may
from shopfloor.office import say
from shopfloor.office.fields import LengthField, NumberField, one_line
from shopfloor.office.forms import ThingForm
from shopfloor.office.shop import the_shop

LENGTHS = {
    "rock_limit_mm": _("A frame may rock by"),
    "bar_out_mm": _("From the inside edge to the outside of the bar"),
    "lock_mm": _("Mesh that goes into one lock"),
    "overhang_mm": _("Overhang beyond the bar"),
    "pre_bow_mm": _("Ends of the bar further out by"),
}
PAGES = {
    "inspected": _("Look the frame over"),
    "lock": _("Mesh, lock and bolts"),
    "piece": _("Tear the mesh"),
    "pre_bow": _("Set the bars"),
    "slack": _("Take the slack out"),
    "lock_A": _("Lock side A"),
    "lock_C": _("Lock side C"),
    "lock_B": _("Lock side B"),
    "lock_D": _("Lock side D"),
    "round_1": _("First coarse round"),
    "round_2": _("Second coarse round"),
    "corners": _("Ease the corners"),
    "even": _("Read, plan, turn"),
    "rested": _("Let it rest"),
}
RODS_LINE = re.compile(r"(polyester|stainless|other) (\d{1,4}) ?[-\u2013] ?(\d{1,4}) ?: ?(.+)")


class RodsField(forms.CharField):
    """One line for each range of meshes, like “polyester 10-60: smaller rod”."""

    widget = forms.Textarea(attrs={"rows": 4})

    def to_python(self, value: object) -> list[dict[str, Any]]:
        lines = [line.strip() for line in str(value or "").splitlines() if line.strip()]
        return [self.row(line) for line in lines]

    def row(self, line: str) -> dict[str, Any]:
        found = RODS_LINE.fullmatch(one_line(line))
        if not found:
            said = _("“%s” is not understood. Write it like “polyester 10-60: smaller rod”.")
            raise forms.ValidationError(said % line[:60])
        material, low, high, rods = found.groups()
        if int(low) > int(high):
            said = _("“%s”: give the lower count first.")
            raise forms.ValidationError(said % line[:60])
        counts = {"from_per_cm": float(low), "to_per_cm": float(high)}
        return {"material": material, "rods": rods} | counts

    def prepare_value(self, value: object) -> object:
        if not isinstance(value, list):
            return value
        return "\n".join(
            f"{row['material']} {say.plain(row['from_per_cm'])}-{say.plain(row['to_per_cm'])}: "
            f"{row['rods']}"
            for row in value
        )


class StretchingForm(ThingForm):
    kind = "shop"
    groups = (
        (_("Before the mesh"), ("rock_limit_mm", "pre_bow_mm")),
        (_("Piece of mesh"), ("bar_out_mm", "lock_mm", "overhang_mm")),
        (_("Rounds and rest"), ("coarse_rounds", "rest_minutes")),
        (_("Rods and strips"), ("rods",)),
        (_("The shop’s own words, page by page"), tuple(f"note_{name}" for name in PAGES)),
    )
    coarse_rounds = NumberField(
        label=_("Coarse rounds before the first reading"), whole=True, help_text=_("Usually 2.")
    )
    rest_minutes = NumberField(label=_("Rest before the last reading, minutes"), whole=True)
    rods = RodsField(
        label=_("Which rods for which mesh"),
        required=False,
        help_text=_("Threads per cm. One line each, like “polyester 10-60: smaller rod”."),
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        unit = self.shop.length_unit
        for name, label in LENGTHS.items():
            self.fields[name] = LengthField(label=label, unit=unit)
        for name, label in PAGES.items():
            area = forms.Textarea(attrs={"rows": 2})
            self.fields[f"note_{name}"] = forms.CharField(label=label, required=False, widget=area)
        self.fields_of = {f"stretching.{name}": name for name in self.fields} | {
            f"stretching.notes.{name}": f"note_{name}" for name in PAGES
        }

    @classmethod
    def shown(cls, body: dict) -> dict:
        kept = Stretching().model_dump() | body["stretching"]
        return kept | {f"note_{name}": text for name, text in kept.get("notes", {}).items()}

    def values(self) -> dict:
        clean = dict(self.cleaned_data)
        notes = {name: clean.pop(f"note_{name}").strip() for name in PAGES}
        return {"stretching": clean | {"notes": {k: v for k, v in notes.items() if v}}}


@who_may("screen room", "manager")
def stretching(request: HttpRequest) -> HttpResponse:
    shop = the_shop()
    if shop.version == 0:
        return redirect("office:shop")
    form = StretchingForm(request.POST or None, body=shop.body(), shop=shop)
    if form.is_valid() and form.save(f"desk:{request.user.get_username()}"):
        messages.success(request, _("Saved."))
        return redirect("office:stretching")
    return render(request, "office/stretching.html", {"form": form})
