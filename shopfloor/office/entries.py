"""Entries written in the office: new ones, corrections, voids. All go in by the log's door."""

from datetime import datetime, timedelta
from uuid import UUID

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone

from frames.entries import ACTS, KINDS, corrected_ms
from frames.folding import effective
from frames.models import Entry, Frame, FrameState
from frames.times import moment
from frames.wording import say as phrase
from shopfloor.auth import who_may
from shopfloor.office import desk
from shopfloor.office.entry_form import CorrectionForm, EntryForm, VoidForm
from shopfloor.office.history import History
from shopfloor.office.words import KINDS as SAID

WRITTEN_HERE = (
    "note",
    "moved",
    "mesh_fitted",
    "mesh_removed",
    "target_set",
    "coated",
    "exposed",
    "inspected",
    "washed",
    "reclaimed",
    "impressions",
    "bolt_state",
    "burst",
)

# what a link to the form may have chosen already
ASKED = ("to", "state")


@who_may("screen room", "manager")
def write(request: HttpRequest, frame_id: UUID, kind: str = "note") -> HttpResponse:
    frame = get_object_or_404(Frame, pk=frame_id)
    if kind not in WRITTEN_HERE:
        raise Http404
    asked = {key: request.GET[key] for key in ASKED if key in request.GET}
    fresh = {"id": desk.new_id(timezone.now())} | asked
    form = EntryForm(
        request.POST or None, kind=kind, payload={}, step_48ths=frame.step_48ths, initial=fresh
    )
    if request.method == "POST" and form.is_valid():
        state = FrameState.objects.filter(frame=frame_id).first()
        on = str(state.screen) if state and state.screen else None
        receipt = desk.write(
            kind,
            form.payload(),
            by=request.user.get_username(),
            id=form.cleaned_data["id"],
            at=form.cleaned_data["at"],
            frame=str(frame.pk),
            screen=on,
        )
        if taken(receipt, form):
            messages.success(request, phrase("Written: {0}.", SAID[kind]))
            return redirect("office:frame", frame_id)
    kinds = [(each, SAID[each]) for each in WRITTEN_HERE]
    context = {"frame": frame, "form": form, "kind": kind, "kinds": kinds, "said": SAID[kind]}
    return render(request, "office/write.html", context)


def taken(receipt: object, form: EntryForm | VoidForm) -> bool:
    """Whether the log has it; what it refuses is said on the form."""
    if receipt.status == "refused":
        form.add_error(None, receipt.problem["detail"])
    return receipt.status != "refused"


@who_may("screen room", "manager")
def correct(request: HttpRequest, entry_id: UUID) -> HttpResponse:
    entry = get_object_or_404(Entry, pk=entry_id, kind__in=set(KINDS) - set(ACTS))
    stands = standing(entry)
    if stands is None:
        messages.warning(request, phrase("This entry is void. Write it anew instead."))
        return redirect(back(entry))
    frame = Frame.objects.filter(pk=stands["frame"]).first()
    at = moment(corrected_ms(stands)).replace(second=0, microsecond=0)
    form = CorrectionForm(
        request.POST or None,
        frame=frame,
        kind=entry.kind,
        payload=stands["payload"],
        step_48ths=frame.step_48ths if frame else 8,
        initial={"id": desk.new_id(timezone.now()), "at": at},
    )
    if request.method == "POST" and form.is_valid():
        payload = {"corrects": str(entry.pk), **corrected(form, stands, at)}
        receipt = act("correction", payload, entry, request, form.cleaned_data["id"])
        if taken(receipt, form):
            messages.success(request, phrase("Corrected. The entry as it was stays readable."))
            return redirect(back(entry))
    context = {"form": form, "line": History([entry]).lines()[0], "back": back(entry)}
    return render(request, "office/correct.html", context)


def corrected(form: CorrectionForm, stands: dict, at: datetime) -> dict:
    """What stands from now on: an untouched time keeps its seconds, a frame its screen."""
    typed, frame = form.cleaned_data["at"], form.cleaned_data.get("frame")
    when = stands["occurred_at"]
    if typed != at:
        by_the_phone = typed - timedelta(milliseconds=stands["clock_offset_ms"])
        when = by_the_phone.isoformat(timespec="milliseconds")
    same = frame is None or str(frame.pk) == stands["frame"]
    return {
        "frame": stands["frame"] if same else str(frame.pk),
        "screen": stands["screen"] if same else None,
        "occurred_at": when,
        "payload": form.payload(),
    }


@who_may("screen room", "manager")
def void(request: HttpRequest, entry_id: UUID) -> HttpResponse:
    entry = get_object_or_404(Entry.objects.exclude(kind="void"), pk=entry_id)
    fresh = {"id": desk.new_id(timezone.now())}
    form = VoidForm(request.POST or None, voids=str(entry.pk), initial=fresh)
    if request.method == "POST" and form.is_valid():
        receipt = act("void", form.payload(), entry, request, form.cleaned_data["id"])
        if taken(receipt, form):
            messages.success(request, phrase("Voided. It stays readable in the history."))
            return redirect(back(entry))
    context = {"form": form, "line": History([entry]).lines()[0], "back": back(entry)}
    return render(request, "office/void.html", context)


def act(kind: str, payload: dict, on: Entry, request: HttpRequest, id: str) -> object:
    return desk.write(
        kind,
        payload,
        by=request.user.get_username(),
        id=id,
        frame=on.raw["frame"],
        screen=on.raw["screen"],
        subject=on.raw["subject"],
    )


def standing(entry: Entry) -> dict | None:
    """The entry as its corrections leave it, None if it is void."""
    acts = list(Entry.objects.filter(target_id=entry.pk, kind__in=ACTS))
    undone = Entry.objects.filter(target_id__in=[one.pk for one in acts], kind="void")
    left = effective([entry.raw, *(one.raw for one in acts), *(one.raw for one in undone)])
    return left[0] if left else None


def back(entry: Entry) -> str:
    """The page an entry is read on."""
    if Frame.objects.filter(pk=entry.frame_id).exists():
        return reverse("office:frame", args=[entry.frame_id])
    return reverse("office:flagged")
