"""The whole log, newest first: by day, frame and person, however long it is.

Pages go on from the last entry shown instead of being counted, and no page looks at more than
`LOOK_THROUGH` entries: a person's are found among those, and the next page looks on from there.
"""

from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from typing import Any

from django import forms
from django.contrib.auth.models import User
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db.models import OuterRef, QuerySet, Subquery
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from frames.errors import CodeError
from frames.models import Entry, Frame, Operator
from shopfloor.auth import who_may
from shopfloor.office import lookup
from shopfloor.office.history import History, device_name
from shopfloor.office.job_forms import DATE_WRONG

PER_PAGE = 50
LOOK_THROUGH = 20_000
FIRST_DAY, LAST_DAY = date(2000, 1, 1), date(2099, 12, 31)
TOO_FAR = _("No entry is from so long ago or so far ahead. Choose a day from 2000 to 2099.")
DESK = "desk:"
LONGEST_PLACE = 18  # digits that fit the database's numbers


class WhichForm(forms.Form):
    day = forms.DateField(
        label=_("Day"),
        required=False,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={"invalid": DATE_WRONG},
        validators=[MinValueValidator(FIRST_DAY, TOO_FAR), MaxValueValidator(LAST_DAY, TOO_FAR)],
    )
    frame = forms.CharField(label=_("Frame"), required=False, max_length=60)
    person = forms.ChoiceField(label=_("Person"), required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        picked = [(str(one.pk), one.name) for one in Operator.objects.all()]
        seated = [f"{DESK}{name}" for name in User.objects.values_list("username", flat=True)]
        desks = [(desk, device_name(desk, {})) for desk in seated]
        self.fields["person"].choices = [("", _("all")), *picked, *desks]

    def clean_frame(self) -> Frame | None:
        typed = self.cleaned_data["frame"]
        try:
            return lookup.frame(typed) if typed else None
        except CodeError as error:
            raise forms.ValidationError(f"“{typed}”: {error.remedy}") from None


@dataclass(frozen=True)
class Found:
    """One page, and after which place in the log the next one begins; None where it ends."""

    entries: list[Entry] = field(default_factory=list)
    following: int | None = None
    looked_to: datetime | None = None


@who_may("screen room", "manager")
def everything(request: HttpRequest) -> HttpResponse:
    form = WhichForm(request.GET)
    found = Found()
    if form.is_valid():
        after = _after(_chosen(**form.cleaned_data), request.GET.get("after", ""))
        found = _page(after, form.cleaned_data["person"])
    steps = {entry.frame_id: entry.step for entry in found.entries if entry.step}
    context = {
        "form": form,
        "found": found,
        "history": {"lines": History(found.entries, steps=steps).lines(), "names_frames": True},
        "is_first": "after" not in request.GET,
    }
    return render(request, "office/log_all.html", context)


def _chosen(*, day: date | None, frame: Frame | None, person: str) -> QuerySet[Entry]:
    rows = Entry.objects.of_frame(frame.pk) if frame else Entry.objects.all()
    if day:
        begins, ends = (
            timezone.make_aware(datetime.combine(one, time()))
            for one in (day, day + timedelta(days=1))
        )
        rows = rows.filter(corrected_at__gte=begins, corrected_at__lt=ends)
    return rows.latest_first()


def _after(rows: QuerySet[Entry], place: str) -> QuerySet[Entry]:
    """What comes after the entry at this place in the log; all of it where there is none."""
    is_place = place.isascii() and place.isdigit() and len(place) <= LONGEST_PLACE
    last = Entry.objects.filter(seq=int(place)).first() if is_place else None
    return rows.before(last) if last else rows


def _page(rows: QuerySet[Entry], person: str) -> Found:
    if not person:
        seqs, looked = list(rows.values_list("seq", flat=True)[: PER_PAGE + 1]), None
    else:
        seqs, looked = _of_person(rows, person)
    following = seqs[PER_PAGE - 1] if len(seqs) > PER_PAGE else looked and looked[0]
    shown = Frame.objects.filter(pk=OuterRef("frame_id"))
    entries = Entry.objects.filter(seq__in=seqs[:PER_PAGE]).latest_first()
    told = entries.annotate(
        code=Subquery(shown.values("code")), step=Subquery(shown.values("step_48ths"))
    )
    looked_to = looked[1] if looked and len(seqs) <= PER_PAGE else None
    return Found(list(told), following, looked_to)


def _of_person(rows: QuerySet[Entry], person: str) -> tuple[list[int], tuple[int, datetime] | None]:
    """A person's among the next entries, and how far was looked where there is more."""
    window = list(rows.values_list("seq", "corrected_at", "device", "raw__operator")[:LOOK_THROUGH])
    by_desk = person.startswith(DESK)
    seqs = [
        seq for seq, _at, device, operator in window if (device if by_desk else operator) == person
    ]
    return seqs[: PER_PAGE + 1], window[-1][:2] if len(window) == LOOK_THROUGH else None
