"""The form of a frame, with its bolts: typed one by one, or spaced evenly."""

from typing import Any

from django import forms
from django.db import transaction
from django.http import QueryDict
from django.utils.translation import gettext_lazy as _

from frames import things
from frames.errors import Problem, ThingError
from frames.models import Frame
from frames.wording import say as phrase
from shopfloor.office import say
from shopfloor.office.fields import MM, LengthField, NumberField, PlacesField
from shopfloor.office.forms import Shown, ThingForm, note

SIDES = "ABCD"
PROFILES = [("plain_u", _("plain U")), ("ribbed_u", _("ribbed U")), ("boxed_u", _("boxed U"))]
LOCKS = [("twin_rod", _("twin rod")), ("wedge_strip", _("wedge strip"))]
HEADS = [("hex", _("hex")), ("socket", _("socket"))]
STEPS = [("8", _("a flat (⅙)")), ("6", _("an eighth (⅛)")), ("3", _("a sixteenth"))]
MOST_AT_ONCE = 50
LAID_ONCE = ("inside_a_mm", "inside_b_mm", *(f"bolts_{side.lower()}" for side in SIDES))
NEEDED_TO_SPACE = {"inside_a_mm", "inside_b_mm", "edge_mm", *(f"count_{s.lower()}" for s in SIDES)}


class FrameForm(ThingForm):
    kind = "frame"
    groups = (
        (_("Which"), ("number", "how_many", "second_name")),
        (_("Frame"), ("profile", "lock", "rods")),
        (_("Inside size, lock to lock"), ("inside_a_mm", "inside_b_mm")),
        (_("Bolts"), ("head", "step_48ths", "pitch_mm")),
        (_("Space bolts evenly"), ("count_a", "count_b", "count_c", "count_d", "edge_mm")),
        (_("Places in mm from each side's first corner"), LAID_ONCE[2:]),
        ("", ("note",)),
    )
    fields_of = {f"bolts.{side}": f"bolts_{side.lower()}" for side in SIDES} | {"bolts": "bolts_a"}

    number = NumberField(
        label=_("Number"), whole=True, required=False, help_text=_("Empty: the next.")
    )
    how_many = NumberField(label=_("How many alike"), whole=True, required=False)
    second_name = forms.CharField(
        label=_("Second name"), required=False, help_text=_("As engraved.")
    )
    profile = forms.ChoiceField(label=_("Profile"), choices=PROFILES)
    lock = forms.ChoiceField(label=_("Lock"), choices=LOCKS)
    rods = forms.CharField(label=_("Rods or strips"), required=False)
    head = forms.ChoiceField(label=_("Head"), choices=HEADS)
    step_48ths = forms.TypedChoiceField(label=_("Step of turn"), choices=STEPS, coerce=int)
    pitch_mm = NumberField(label=_("Pitch, mm a turn"), example="1.5")
    count_a = NumberField(label=_("On A"), whole=True, required=False)
    count_b = NumberField(label=_("On B"), whole=True, required=False)
    count_c = NumberField(label=_("On C"), whole=True, required=False)
    count_d = NumberField(label=_("On D"), whole=True, required=False)
    edge_mm = NumberField(label=_("First from the corner, mm"), required=False)
    bolts_a = PlacesField(label=_("Side A, from the D corner"))
    bolts_b = PlacesField(label=_("Side B, from the A corner"))
    bolts_c = PlacesField(label=_("Side C, from the B corner"))
    bolts_d = PlacesField(label=_("Side D, from the C corner"))
    note = note()

    def __init__(self, data: QueryDict | None = None, *, used: bool = False, **kwargs: Any) -> None:
        super().__init__(data, **kwargs)
        unit = "mm" if self.shop.length_unit == "mm" else "in"
        for side, name in ((phrase("A and C"), "inside_a_mm"), (phrase("B and D"), "inside_b_mm")):
            self.fields[name] = LengthField(unit=unit, label=phrase("Along {0}, {1}", side, unit))
        if self.body:
            for name in (
                "how_many",
                *(NEEDED_TO_SPACE - {"inside_a_mm", "inside_b_mm"} if used else ()),
            ):
                self.fields.pop(name, None)
        if used:
            for name in LAID_ONCE:
                self.fields[name].disabled = True

    @classmethod
    def shown(cls, body: dict) -> dict:
        bolts = {f"bolts_{side.lower()}": list(body["bolts"].get(side, [])) for side in SIDES}
        return body | bolts | {"step_48ths": str(body["step_48ths"])}

    @property
    def mm_per_unit(self) -> float:
        return 1 if self.shop.length_unit == "mm" else MM["in"]

    def left(self) -> list[Shown]:
        return self.shown_in([*self.groups[:4], self.groups[-1]])

    def spacing(self) -> list[Shown]:
        return self.shown_in(self.groups[4:5])

    def places(self) -> list[Shown]:
        return self.shown_in(self.groups[5:6])

    def clean_how_many(self) -> int:
        many = self.cleaned_data["how_many"] or 1
        if not 1 <= many <= MOST_AT_ONCE:
            raise forms.ValidationError(
                phrase("“{0}”: make 1 to {1} frames at once.", many, MOST_AT_ONCE)
            )
        return many

    def values(self) -> dict:
        clean = {k: v for k, v in self.cleaned_data.items() if k not in LAID_ONCE[2:]}
        for name in ("how_many", "edge_mm", *(f"count_{side.lower()}" for side in SIDES)):
            clean.pop(name, None)
        bolts = {side: self.cleaned_data[f"bolts_{side.lower()}"] for side in SIDES}
        return clean | {"bolts": bolts}

    def create(self, by: str) -> Frame:
        """One frame, or several alike with numbers that follow each other: all or none."""
        values, many = self.values(), self.cleaned_data["how_many"]
        if many > 1 and values["second_name"]:
            remedy = phrase(
                "Leave it empty for several frames. Give second names one by one later."
            )
            raise ThingError([Problem("second_name", values["second_name"], remedy)])
        with transaction.atomic():
            first = things.create("frame", values, by)
            self.made = [first]
            for number in range(first.number + 1, first.number + many):
                self.made.append(things.create("frame", values | {"number": number}, by))
        return first


def spaced(length_mm: float, count: int, edge_mm: float | None) -> list[float]:
    """Evenly spaced places along one side, first and last `edge_mm` from its corners.

    Without an edge the ends get half of the space that lies between two bolts.
    """
    if count == 1:
        return [round(length_mm / 2, 1)]
    edge = length_mm / count / 2 if edge_mm is None else edge_mm
    gap = (length_mm - 2 * edge) / (count - 1)
    return [round(edge + gap * place, 1) for place in range(count)]


def space_evenly(data: QueryDict, **kwargs: Any) -> FrameForm:
    """The same form with places filled in for every side that has a count; nothing is saved."""
    typed = data.copy()
    form = FrameForm(typed, **kwargs)
    form.full_clean()
    for name in set(form.errors) - NEEDED_TO_SPACE:
        del form.errors[name]
    if form.errors:
        return form
    clean, edge = form.cleaned_data, form.cleaned_data["edge_mm"]
    if misfit := edge_misfit(clean):
        form.add_error("edge_mm", misfit)
        return form
    for side in SIDES:
        # sides that face each other are alike unless told otherwise
        facing = "AB"[SIDES.index(side) % 2].lower()
        count = clean[f"count_{side.lower()}"] or clean[f"count_{facing}"]
        if count and count > 0:
            places = spaced(clean[f"inside_{facing}_mm"], min(count, 99), edge)
            typed[f"bolts_{side.lower()}"] = " ".join(say.plain(mm) for mm in places)
    again = FrameForm(typed, **kwargs)
    again.full_clean()
    again.errors.clear()
    return again


def edge_misfit(clean: dict[str, Any]) -> str:
    edge, shorter = clean["edge_mm"], min(clean["inside_a_mm"], clean["inside_b_mm"])
    if edge is None or 0 < edge < shorter / 2:
        return ""
    return phrase(
        "“{0}”: give a place between 0 and {1} mm.", say.plain(edge), say.plain(shorter / 2)
    )
