"""Bring in an outbox file: what a phone holds and cannot send, carried here by hand."""

from collections import Counter
from typing import Any

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from frames.models import Frame
from frames.wording import say as phrase
from shopfloor.auth import who_may
from shopfloor.office import outbox_file
from shopfloor.office.forms import sentence
from shopfloor.office.names import Names, is_uuid
from shopfloor.office.outbox_file import Brought
from shopfloor.office.telling import tell

# what needs somebody comes first; of what went well this many are shown
ORDER = ("refused", "stored", "duplicate")
SHOWN = 200


class OutboxForm(forms.Form):
    file = forms.FileField(
        label=_("Outbox file"),
        help_text=_("On the phone: Outbox, Export to file."),
        widget=forms.FileInput(attrs={"accept": ".json,application/json"}),
        allow_empty_file=True,
        error_messages={"required": _("Nothing chosen. Choose the file that the phone made.")},
    )

    def clean_file(self) -> list[Any]:
        file = self.cleaned_data["file"]
        try:
            return outbox_file.read(file, file.name, file.size)
        except outbox_file.WrongFile as error:
            raise forms.ValidationError(sentence(error.problems[0])) from None


@who_may("manager")
def outbox(request: HttpRequest) -> HttpResponse:
    form = OutboxForm(*((request.POST, request.FILES) if request.method == "POST" else ()))
    context: dict[str, Any] = {"form": form}
    if form.is_valid():
        brought = outbox_file.bring_in(
            form.cleaned_data["file"],
            by=request.user.get_username(),
            received_at=timezone.now(),
        )
        context |= answer(brought)
    return render(request, "office/outbox.html", context)


def answer(brought: list[Brought]) -> dict[str, Any]:
    """How many were taken, and the receipt of each entry, those that need somebody first."""
    counts = Counter(one.receipt.status for one in brought)
    sorted_out = sorted(brought, key=lambda one: ORDER.index(one.receipt.status))
    shown = sorted_out[: max(SHOWN, counts["refused"])]
    raws = [one.raw for one in shown if isinstance(one.raw, dict)]
    names, frames = Names.of_entries(raws), frames_of(raws)
    rows = [
        {"receipt": one.receipt, "told": told(one.raw, names), "frame": frame_of(one.raw, frames)}
        for one in shown
    ]
    counted = [(status, counts[status]) for status in ORDER]
    return {"counts": counted, "rows": rows, "left_out": len(brought) - len(shown)}


def told(raw: Any, names: Names) -> str:
    return tell(raw, names) if isinstance(raw, dict) else phrase("Not an entry")


def frames_of(raws: list[dict]) -> dict[str, Frame]:
    ids = {raw.get("frame") for raw in raws if is_uuid(raw.get("frame"))}
    return {str(frame.pk): frame for frame in Frame.objects.filter(pk__in=ids)}


def frame_of(raw: Any, frames: dict[str, Frame]) -> Frame | None:
    named = raw.get("frame") if isinstance(raw, dict) else None
    return frames.get(named) if isinstance(named, str) else None
