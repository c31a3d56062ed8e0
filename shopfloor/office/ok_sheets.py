"""The OK sheets of a job: who signed what, what changed since, and the form to write one."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from frames.entries import corrected_ms
from frames.models import Colour, Entry, Frame, Job, Press
from shopfloor.auth import who_may
from shopfloor.office import desk
from shopfloor.office.entries import taken
from shopfloor.office.entry_form import OnceForm, TimeField
from shopfloor.office.forms import note, tell_required
from shopfloor.office.history import History, Line
from shopfloor.office.job_log import Stay

ANSWERS = [("yes", gettext_lazy("signed")), ("no", gettext_lazy("not accepted"))]


@dataclass(frozen=True)
class Changed:
    """What was done to the screen of a colour after its OK sheet was signed."""

    colour: Colour
    frame: str
    lines: list[Line]


def told(raws: Iterable[dict[str, Any]]) -> list[Line]:
    """Entries of any frames as lines of a history, in the order given."""
    ids = [UUID(raw["id"]) for raw in raws]
    rows = Entry.objects.in_bulk(ids)
    frames = {row.frame_id for row in rows.values()}
    steps = dict(Frame.objects.filter(pk__in=frames).values_list("pk", "step_48ths"))
    return History([rows[id] for id in ids], steps=steps).lines()


def changed(
    colours: Iterable[Colour], stays: list[Stay], signed: dict[str, dict[str, Any]]
) -> list[Changed]:
    """For each colour on a signed sheet: what may make it print differently now."""
    found = [
        (colour, stay, stay.since(corrected_ms(signed[str(colour.pk)])))
        for colour in colours
        if str(colour.pk) in signed
        for stay in stays
        if stay.colour == str(colour.pk)
    ]
    frames = {stay.screen.frame for _, stay, _ in found}
    codes = dict(Frame.objects.filter(pk__in=frames).values_list("pk", "code"))
    lines = iter(told(raw for _, _, since in found for raw in since))
    return [
        Changed(colour, codes.get(stay.screen.frame, ""), [next(lines) for _ in since])
        for colour, stay, since in found
        if since
    ]


class OkSheetForm(OnceForm):
    """Signed or not accepted, with the colours that are on the sheet."""

    kind = "ok_sheet"
    signed = forms.ChoiceField(
        label=gettext_lazy("The sheet is"), choices=[("", gettext_lazy("choose")), *ANSWERS]
    )
    colours = forms.MultipleChoiceField(
        label=gettext_lazy("Colours on it"),
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": gettext_lazy("Nothing chosen. Tick the colours on the sheet.")},
    )
    press = forms.ChoiceField(label=gettext_lazy("Pulled on"), required=False)
    note = note()
    at = TimeField(
        label=gettext_lazy("When"), required=False, help_text=gettext_lazy("Empty: now.")
    )

    def __init__(self, *args: Any, job: Job, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        colours = list(job.colours.in_use())
        self.fields["colours"].choices = [(str(c.pk), f"{c.position} {c.name}") for c in colours]
        self.fields["colours"].initial = [str(c.pk) for c in colours]
        presses = [(str(press.pk), press.name) for press in Press.objects.in_use()]
        self.fields["press"].choices = [("", _("not said")), *presses]
        tell_required(self)

    def payload(self) -> dict[str, Any]:
        typed = self.cleaned_data
        return {
            "signed": typed["signed"] == "yes",
            "colours": typed["colours"],
            "press": typed["press"] or None,
            "note": typed["note"],
        }


@who_may("screen room", "manager")
def write(request: HttpRequest, job_id: UUID) -> HttpResponse:
    job = get_object_or_404(Job, pk=job_id)
    fresh = {"id": desk.new_id(timezone.now())}
    form = OkSheetForm(request.POST or None, job=job, initial=fresh)
    if request.method == "POST" and form.is_valid():
        receipt = desk.write(
            "ok_sheet",
            form.payload(),
            by=request.user.get_username(),
            id=form.cleaned_data["id"],
            at=form.cleaned_data["at"],
            subject={"kind": "job", "id": str(job.pk)},
        )
        if taken(receipt, form):
            messages.success(request, _("Written: OK sheet of job %s.") % job.number)
            return redirect("office:job", job.pk)
    return render(request, "office/ok_sheet.html", {"form": form, "job": job})
