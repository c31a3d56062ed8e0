"""New frames, one or several alike, and changes to one."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.forms import BoundField
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render

from frames.models import Entry, Frame
from frames.wording import say as phrase
from shopfloor.auth import who_may
from shopfloor.office.frame_form import SIDES, FrameForm, space_evenly
from shopfloor.office.names import is_uuid
from shopfloor.office.shop import the_shop
from shopfloor.office.things import by

FRESH = {"profile": "plain_u", "head": "hex", "step_48ths": "8", "lock": "twin_rod", "how_many": 1}
OWN = ("number", "second_name")
EMPTY = {"code": "", "inside_a_mm": 1000, "inside_b_mm": 800, "step_48ths": 8}


@who_may("screen room", "manager")
def new(request: HttpRequest) -> HttpResponse:
    given = {"shop": the_shop(), "initial": FRESH | alike(request.GET.get("like", ""))}
    if "space" in request.POST:
        form = space_evenly(request.POST, **given)
    else:
        form = FrameForm(request.POST or None, **given)
        if form.is_valid() and (first := form.save(by(request))):
            messages.success(request, _saved([frame.code for frame in form.made]))
            alone = len(form.made) == 1
            return redirect("office:frame", first.pk) if alone else redirect("office:frames")
    return render(request, "office/frame_form.html", {"form": form, "drawing": preview(form)})


@who_may("screen room", "manager")
def edit(request: HttpRequest, frame_id: UUID) -> HttpResponse:
    frame = get_object_or_404(Frame, pk=frame_id)
    used = Entry.objects.of_frame(frame_id).exists()
    given = {"shop": the_shop(), "body": frame.body(), "used": used}
    if "space" in request.POST and not used:
        form = space_evenly(request.POST, **given)
    else:
        form = FrameForm(request.POST or None, **given)
        if form.is_valid() and form.save(by(request)):
            messages.success(request, _saved([frame.code]))
            return redirect("office:frame", frame_id)
    context = {"form": form, "frame": frame, "used": used, "drawing": preview(form)}
    return render(request, "office/frame_form.html", context)


def _saved(codes: list[str]) -> str:
    if codes[1:]:
        return phrase("Saved: {0} to {1}.", codes[0], codes[-1])
    return phrase("Saved: {0}.", codes[0])


def alike(frame_id: str) -> dict:
    """What a new frame takes over from another one: all but its number and names."""
    like = Frame.objects.filter(pk=frame_id).first() if is_uuid(frame_id) else None
    if like is None:
        return {}
    return {k: v for k, v in FrameForm.shown(like.body()).items() if k not in OWN}


def preview(form: FrameForm) -> dict:
    """The drawing beside the form: the frame as typed, as far as it can be read."""
    bolts, frame = {}, dict(form.body or EMPTY)
    for side in SIDES:
        bound = form[f"bolts_{side.lower()}"]
        bolts[side] = read(bound, [])
    for name in ("inside_a_mm", "inside_b_mm"):
        frame[name] = read(form[name], frame[name]) or frame[name]
    for side, places in bolts.items():
        length = frame["inside_a_mm"] if side in "AC" else frame["inside_b_mm"]
        bolts[side] = [mm for mm in places if 0 < mm < length]
    return {"frame": frame | {"bolts": bolts}, "view": {"face": "squeegee", "near": "A"}}


def read(bound: BoundField, otherwise: Any) -> Any:
    """A field's value as far as it can be read; what is wrong with it is said elsewhere."""
    try:
        return bound.field.to_python(bound.value() or "") or otherwise
    except ValidationError:
        return otherwise
