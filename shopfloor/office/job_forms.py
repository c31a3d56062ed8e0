"""The forms of a job and of one of its colours."""

from typing import Any

from django import forms

from frames.models import Job, Mesh
from shopfloor.office.fields import NumberField
from shopfloor.office.forms import ThingForm, note

DATE_WRONG = "This is not a date. Choose it from the calendar, or write it like 2026-12-03."


class JobForm(ThingForm):
    kind = "job"
    groups = (
        ("", ("number", "title", "customer_ref")),
        ("Print", ("due", "run", "substrate", "tolerance_mm")),
        ("", ("note", "done")),
    )

    number = forms.CharField(label="Job number")
    title = forms.CharField(label="Title")
    customer_ref = forms.CharField(label="Customer's reference", required=False)
    due = forms.DateField(
        label="Due",
        required=False,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={"invalid": DATE_WRONG},
    )
    run = NumberField(label="Run, sheets", whole=True, required=False)
    substrate = forms.CharField(label="Substrate", required=False)
    tolerance_mm = NumberField(label="Register may be off by, mm", example="0.15")
    done = forms.BooleanField(label="Done", required=False)
    note = note()


class ColourForm(ThingForm):
    kind = "colour"
    groups = (("", ("position", "name", "ink", "mesh", "key")),)

    position = NumberField(label="Printed as number", whole=True)
    name = forms.CharField(label="Colour")
    ink = forms.CharField(label="Ink", required=False)
    mesh = forms.ChoiceField(label="Mesh wanted", required=False)
    key = forms.BooleanField(label="Key colour (the one the others are fitted to)", required=False)

    def __init__(self, *args: Any, job: Job, **kwargs: Any) -> None:
        self.job = job
        super().__init__(*args, **kwargs)
        meshes = [(str(mesh.pk), mesh.name) for mesh in Mesh.objects.in_use()]
        self.fields["mesh"].choices = [("", "any"), *meshes]

    def values(self) -> dict:
        clean = dict(self.cleaned_data)
        return clean | {"job": str(self.job.pk), "mesh": clean["mesh"] or None}
