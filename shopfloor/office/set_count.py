"""Impressions of a whole set at once: the screens of one job print the same sheets."""

from typing import Any
from uuid import UUID, uuid5

from django import forms
from django.contrib import messages
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from frames.log import Receipt
from frames.models import Frame, Job
from shopfloor.auth import who_may
from shopfloor.office import desk
from shopfloor.office.entries import taken
from shopfloor.office.entry_form import OnceForm, TimeField
from shopfloor.office.fields import NumberField
from shopfloor.office.forms import tell_required
from shopfloor.office.readiness import stencils_of
from shopfloor.office.shop import the_shop
from shopfloor.office.standing import Standing, standings
from shopfloor.office.words import CHOICES


class CountForm(OnceForm):
    kind = "impressions"
    mode = forms.ChoiceField(label=gettext_lazy("The number is a"), choices=CHOICES["mode"])
    count = NumberField(label=gettext_lazy("Impressions"), whole=True, example="1200")
    at = TimeField(
        label=gettext_lazy("When"), required=False, help_text=gettext_lazy("Empty: now.")
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        tell_required(self)

    def payload(self) -> dict[str, Any]:
        return {"mode": self.cleaned_data["mode"], "count": self.cleaned_data["count"]}


def set_of(job: Job) -> list[Standing]:
    """The screens on a press that carry stencils of this job."""
    wanted = {id for colour in job.colours.in_use() for id in stencils_of(colour)}
    stands = standings(Frame.objects.in_use(), the_shop(), timezone.now())
    held = [s for s in stands if s.on_press and s.screen and not s.burst]
    return [stand for stand in held if stand.screen["colour"] in wanted]


@who_may("screen room", "manager")
def count(request: HttpRequest, job_id: UUID) -> HttpResponse:
    job = get_object_or_404(Job, pk=job_id)
    stands = set_of(job)
    form = CountForm(request.POST or None, initial={"id": desk.new_id(timezone.now())})
    if request.method == "POST" and stands and form.is_valid():
        by = request.user.get_username()
        with transaction.atomic():
            written = all(taken(_write(stand, job, form, by), form) for stand in stands)
            transaction.set_rollback(not written)
        if written:
            messages.success(request, _("Written for %s screens.") % len(stands))
            return redirect("office:job", job.pk)
    return render(request, "office/set_count.html", {"form": form, "job": job, "stands": stands})


def _write(stand: Standing, job: Job, form: CountForm, by: str) -> Receipt:
    """Each screen's entry takes its id from the form's, so that a form sent twice counts once."""
    return desk.write(
        "impressions",
        form.payload() | {"job": str(job.pk), "colour": stand.screen["colour"]},
        by=by,
        id=str(uuid5(UUID(form.cleaned_data["id"]), stand.screen["screen"])),
        at=form.cleaned_data["at"],
        frame=str(stand.frame.pk),
        screen=stand.screen["screen"],
    )
