"""A study of a meter: the same places read by several people several times over."""

from typing import Any

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from frames import metering, things
from frames.errors import BadInput, Conflict, ThingError
from frames.models import Meter
from shopfloor.auth import who_may
from shopfloor.office.fields import read_number, shown
from shopfloor.office.things import by

EXAMPLE = _("Ines; centre; 21.5 22 21.5\nIlka; centre; 22 22 21.5\nInes; corner; 20 20.5 20\n…")
Read = dict[str, dict[str, list[float]]]


class StudyForm(forms.Form):
    meter = forms.ModelChoiceField(
        Meter.objects.in_use(), label=_("Meter"), required=False, empty_label=_("not chosen")
    )
    readings = forms.CharField(
        label=_("Readings"),
        help_text=_(
            "One line for each person and place: who; where; two or three readings. Two or three "
            "people, two to ten places; nobody should see what was read before."
        ),
        widget=forms.Textarea(attrs={"rows": 12, "placeholder": EXAMPLE}),
        error_messages={"required": _("Nothing written. Write a line for each person and place.")},
    )

    def clean_readings(self) -> list[list[list[float]]]:
        """(people, places, trials)."""
        return as_table(self.cleaned_data["readings"])


def as_table(text: str) -> list[list[list[float]]]:
    """Lines as a full table; a ValidationError names the line and what to do."""
    read: Read = {}
    for number, line in enumerate(text.splitlines(), 1):
        if line.strip():
            who, where, values = _line(number, line)
            if where in read.setdefault(who, {}):
                raise _fault(_("Line %(n)s: %(who)s has read this place already."), number, who)
            read[who][where] = values
    places = {place: None for its in read.values() for place in its}
    for who, its in read.items():
        for place in places:
            if place not in its:
                raise _fault(
                    _("%(who)s did not read %(n)s: everybody reads every place."), place, who
                )
    counts = {len(values) for its in read.values() for values in its.values()}
    if len(counts) > 1:
        raise forms.ValidationError(_("Read every place equally often, two or three times."))
    return [[its[place] for place in places] for its in read.values()]


def _line(number: int, line: str) -> tuple[str, str, list[float]]:
    parts = [part.strip() for part in line.split(";")]
    if len(parts) != 3 or not all(parts):
        raise _fault(_("Line %(n)s: write who; where; readings."), number)
    values = [read_number(word) for word in parts[2].split()]
    known = [value for value in values if value is not None]
    if len(known) < len(values):
        said = _("Line %(n)s: %(who)s is not a row of readings.")
        raise _fault(said, number, shown(parts[2]))
    return parts[0], parts[1], known


def _fault(text: Any, number: object, who: str = "") -> forms.ValidationError:
    return forms.ValidationError(text, params={"n": number, "who": who})


@who_may("screen room", "manager")
def study(request: HttpRequest) -> HttpResponse:
    """Answers for the readings that are sent to it; kept with the meter when asked to."""
    form = StudyForm(request.POST or None, initial={"meter": request.GET.get("meter")})
    found = worked_out(form) if form.is_valid() else None
    if found and "keep" in request.POST and (meter := keep(form, by(request))):
        messages.success(request, _("Study kept."))
        return redirect("office:meter", meter.pk)
    return render(request, "office/meter_study.html", {"form": form, "found": found})


def worked_out(form: StudyForm) -> dict[str, Any] | None:
    try:
        return metering.study(form.cleaned_data["readings"])
    except BadInput as error:
        form.add_error("readings", error.problems[0].remedy)
        return None


def keep(form: StudyForm, by: str) -> Meter | None:
    """The meter with the study; who read what is left out."""
    meter, today = form.cleaned_data["meter"], timezone.localdate()
    if meter is None:
        form.add_error("meter", _("Nothing chosen. Choose the meter that was read with."))
        return None
    kept = metering.kept(meter, form.cleaned_data["readings"], today)
    try:
        return things.change("meter", meter.pk, {"studies": kept}, meter.version, by)
    except (ThingError, Conflict):
        form.add_error("meter", _("Somebody changed this meter just now. Keep it again."))
        return None
