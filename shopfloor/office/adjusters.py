"""The adjusters of a press: where each acts, what a division does, its play, its place in order."""

from dataclasses import replace
from typing import Any
from uuid import UUID

from django import forms
from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse, QueryDict
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from frames import things as door
from frames.errors import Conflict, Problem
from frames.models import Press
from frames.wording import say as phrase
from shopfloor.auth import who_may
from shopfloor.office.fields import NumberField, read_count
from shopfloor.office.forms import ThingForm
from shopfloor.office.shop import the_shop
from shopfloor.office.things import by

WAYS = [("right", gettext_lazy("to the right")), ("away", gettext_lazy("away from you"))]
LIST, SHARES = "adjusters", ("right", "away")
START = {"moves": "right", "smallest": 0.5, "backlash": 0.0, "order": 0, "most": 1000.0}


def _called() -> dict[str, str]:
    """What a new adjuster's way and divisions are called until somebody calls them otherwise."""
    return {"plus": _("clockwise"), "minus": _("anticlockwise"), "division": _("divisions")}


class AdjusterForm(ThingForm):
    """One adjuster of the press `body`: the one called `was`, or a new one."""

    kind = "press"
    groups = (
        ("", ("name",)),
        (gettext_lazy("Where it acts, % of the frame as it lies"), ("right", "away")),
        (gettext_lazy("What plus does"), ("plus", "moves", "minus")),
        (gettext_lazy("Travel"), ("mm_per_division", "division", "smallest", "most")),
        (gettext_lazy("Play and order"), ("backlash", "order")),
    )
    name = forms.CharField(
        label=gettext_lazy("Name"), help_text=gettext_lazy("As the shop calls it.")
    )
    right = NumberField(
        label=gettext_lazy("From the left end"),
        example="50",
        help_text=gettext_lazy("0 left end, 100 right end; below 0 or above 100 beside the frame."),
    )
    away = NumberField(
        label=gettext_lazy("From the near side"),
        example="50",
        help_text=gettext_lazy("0 near you, 100 far side; below 0 or above 100 beside the frame."),
    )
    moves = forms.ChoiceField(label=gettext_lazy("Plus pushes the screen"), choices=WAYS)
    plus = forms.CharField(label=gettext_lazy("Plus is called"))
    minus = forms.CharField(label=gettext_lazy("Minus is called"))
    mm_per_division = NumberField(label=gettext_lazy("One division moves, mm"), example="0.1")
    division = forms.CharField(
        label=gettext_lazy("What is counted"), help_text=gettext_lazy("Like divisions or turns.")
    )
    smallest = NumberField(label=gettext_lazy("Smallest part one can set"), example="0.5")
    most = NumberField(label=gettext_lazy("Goes either way at most"), example="20")
    backlash = NumberField(
        label=gettext_lazy("Play when the way changes"),
        example="0.5",
        help_text=gettext_lazy("In divisions; 0 if there is none."),
    )
    order = NumberField(
        label=gettext_lazy("Turned as number"),
        whole=True,
        example="1",
        help_text=gettext_lazy("Twist first, then across, then along."),
    )

    def __init__(self, data: QueryDict | None = None, *, was: str = "", **kwargs: Any) -> None:
        # the name under which it was opened finds it again when others were taken away meanwhile
        self.was = (data or {}).get("was", was)
        super().__init__(data, **kwargs)

    def shown(self, body: dict) -> dict:
        one = (
            next((one for one in body[LIST] if one["name"] == self.was), None) or START | _called()
        )
        return one | {key: round(100 * one[key], 4) for key in SHARES if key in one}

    def values(self) -> dict:
        """All adjusters of the press, with this one in its place, or after the others."""
        typed = self.cleaned_data | {key: self.cleaned_data[key] / 100 for key in SHARES}
        listed = [typed if one["name"] == self.was else one for one in self.body[LIST]]
        return {LIST: listed if typed in listed else [*listed, typed]}

    def take(self, problems: list[Problem]) -> None:
        """Shares are told as they were typed, in percent."""
        percent = [
            replace(problem, value=self.cleaned_data[key])
            if (key := problem.field.rpartition(".")[2]) in SHARES
            else problem
            for problem in problems
        ]
        super().take(percent)

    def field_of(self, name: str) -> str | None:
        """The door says `adjusters.2.backlash`; only this form's own adjuster can be wrong here."""
        return super().field_of(name.rpartition(".")[2])


@who_may("screen room", "manager")
def new(request: HttpRequest, press_id: UUID) -> HttpResponse:
    return _edit(request, get_object_or_404(Press, pk=press_id), "")


@who_may("screen room", "manager")
def edit(request: HttpRequest, press_id: UUID, place: int) -> HttpResponse:
    press = get_object_or_404(Press, pk=press_id)
    if place >= len(press.adjusters):
        raise Http404
    return _edit(request, press, press.adjusters[place]["name"])


def _edit(request: HttpRequest, press: Press, was: str) -> HttpResponse:
    form = AdjusterForm(request.POST or None, was=was, body=press.body(), shop=the_shop())
    if "away-with-it" in request.POST:
        return _take_away(request, press, form)
    if form.is_valid() and form.save(by(request)):
        messages.success(request, phrase("Saved: {0}.", form.cleaned_data["name"]))
        return redirect("office:press", press.pk)
    return render(request, "office/adjuster.html", {"form": form, "press": press})


def _take_away(request: HttpRequest, press: Press, form: AdjusterForm) -> HttpResponse:
    left = [one for one in press.adjusters if one["name"] != form.was]
    seen = read_count(str(form.version)) or 0
    try:
        door.change("press", press.pk, {LIST: left}, seen, by(request))
        messages.success(request, _("Taken away: %s.") % form.was)
    except Conflict:
        messages.warning(request, _("The press was changed meanwhile. Look at it, then try again."))
    return redirect("office:press", press.pk)
