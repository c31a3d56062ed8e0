"""The forms of a job and of one of its colours."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from frames.models import Frame, Job, Mesh
from shopfloor.office import say
from shopfloor.office.fields import NumberField
from shopfloor.office.forms import ThingForm, note

Size = tuple[float, float]
DATE_WRONG = _("This is not a date. Choose it from the calendar, or write it like 2026-12-03.")


class JobForm(ThingForm):
    kind = "job"
    groups = (
        ("", ("number", "title", "customer_ref")),
        (_("Print"), ("due", "run", "substrate", "tolerance_mm")),
        (_("Screens"), ("size", "keep_stencils")),
        ("", ("note", "done")),
    )

    number = forms.CharField(label=_("Job number"))
    title = forms.CharField(label=_("Title"))
    customer_ref = forms.CharField(label=_("Customer's reference"), required=False)
    due = forms.DateField(
        label=_("Due"),
        required=False,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={"invalid": DATE_WRONG},
    )
    run = NumberField(label=_("Run, sheets"), whole=True, required=False)
    substrate = forms.CharField(label=_("Substrate"), required=False)
    tolerance_mm = NumberField(label=_("Register may be off by, mm"), example="0.15")
    size = forms.ChoiceField(label=_("Frames wanted, inside"), required=False)
    keep_stencils = forms.BooleanField(label=_("Keep the stencils for a repeat"), required=False)
    done = forms.BooleanField(label=_("Done"), required=False)
    note = note()

    fields_of = {"inside_a_mm": "size", "inside_b_mm": "size"}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        sizes = sizes_of(self.body)
        unit = self.shop.length_unit
        choices = [(written(size), say.size(*size, unit)) for size in sizes]
        self.fields["size"].choices = [("", _("any")), *choices]

    @classmethod
    def shown(cls, body: dict) -> dict:
        size = (body["inside_a_mm"], body["inside_b_mm"])
        return body | {"size": written(size) if all(size) else ""}

    def values(self) -> dict:
        clean = dict(self.cleaned_data)
        a, b = map(float, size.split()) if (size := clean.pop("size")) else (None, None)
        return clean | {"inside_a_mm": a, "inside_b_mm": b}


def sizes_of(body: dict | None) -> list[Size]:
    """Inside sizes of the frames in use, and the one that the job has."""
    rows = Frame.objects.in_use().values_list("inside_a_mm", "inside_b_mm").distinct()
    own = {(body["inside_a_mm"], body["inside_b_mm"])} if body and body["inside_a_mm"] else set()
    return sorted(set(rows) | own)


def written(size: Size) -> str:
    return " ".join(say.plain(float(mm)) for mm in size)


class ColourForm(ThingForm):
    kind = "colour"
    groups = (("", ("position", "name", "ink", "mesh", "key")),)

    position = NumberField(label=_("Printed as number"), whole=True)
    name = forms.CharField(label=_("Colour"))
    ink = forms.CharField(label=_("Ink"), required=False)
    mesh = forms.ChoiceField(label=_("Mesh wanted"), required=False)
    key = forms.BooleanField(
        label=_("Key colour (the one the others are fitted to)"), required=False
    )

    def __init__(self, *args: Any, job: Job, **kwargs: Any) -> None:
        self.job = job
        super().__init__(*args, **kwargs)
        meshes = [(str(mesh.pk), mesh.name) for mesh in Mesh.objects.in_use()]
        self.fields["mesh"].choices = [("", _("any")), *meshes]

    def values(self) -> dict:
        clean = dict(self.cleaned_data)
        return clean | {"job": str(self.job.pk), "mesh": clean["mesh"] or None}
