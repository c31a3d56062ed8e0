"""A turn plan at the desk of the screen room; with a stencil on, only for a reason."""

from typing import Any
from uuid import UUID

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from frames import advice, derived
from frames.errors import BadInput
from frames.models import Frame, FrameState
from frames.wording import mark
from frames.wording import say as phrase
from shopfloor.auth import who_may
from shopfloor.office import desk, say
from shopfloor.office.words import side_name

FACES = [("squeegee", _("squeegee side up")), ("print", _("print side up"))]
LIES = {
    "squeegee": mark("Squeegee side up, {0} near you."),
    "print": mark("Print side up, {0} near you: mirrored against the squeegee side."),
}


class AskForm(forms.Form):
    face = forms.ChoiceField(label=_("Lies with"), choices=FACES)
    near = forms.ChoiceField(label=_("Side near you"), choices=[(s, side_name(s)) for s in "ABCD"])
    override = forms.CharField(
        label=_("Why turn with a stencil on?"),
        required=False,
        max_length=500,
        help_text=_(
            "The image will move and the stencil may crack. Without a reason no plan is "
            "given; the reason stays in the log."
        ),
    )


@who_may("screen room", "manager")
def turn_plan(request: HttpRequest, frame_id: UUID) -> HttpResponse:
    """Worked out when asked for; saved as an entry only by the button."""
    frame = get_object_or_404(Frame, pk=frame_id)
    state = FrameState.objects.filter(pk=frame.pk).first()
    if state and state.body.get("awaiting_removal"):
        on_press = (state.body["place"] or {}).get("to") == "press"
        return render(
            request, "office/turn_plan.html", {"frame": frame, "burst": True, "on_press": on_press}
        )
    sent = request.POST if request.method == "POST" else request.GET
    form = AskForm(sent if "near" in sent else {"face": "squeegee", "near": "A"})
    asked = _request(state, form)
    answer = _answer(asked, form) if asked else None
    if request.method == "POST" and answer and answer["payload"]:
        return _save(request, frame, asked["screen"]["screen"], answer)
    context = {
        "frame": frame,
        "form": form,
        "coated": bool(asked) and asked["screen"]["stencil"] != "bare",
        "answer": answer,
        "turns": _said(frame, answer),
        "drawing": (drawing := _drawing(frame, form, answer)),
        "lies": lies(drawing["view"]),
        "target": asked and asked["screen"]["target_n_per_cm"],
        "id": desk.new_id(timezone.now()),
    }
    return render(request, "office/turn_plan.html", context)


def _request(state: FrameState | None, form: AskForm) -> dict[str, Any] | None:
    if not form.is_valid() or not state or not state.screen:
        return None
    options = {"purpose": "retension", **form.cleaned_data}
    options["override"] = options["override"].strip() or None
    return derived.request(state.screen, options=options)


def _answer(asked: dict[str, Any], form: AskForm) -> dict[str, Any] | None:
    try:
        return advice.tension(asked)
    except BadInput as error:
        form.add_error(None, error.problems[0].remedy)
        return None


def _save(request: HttpRequest, frame: Frame, screen: str, answer: dict[str, Any]) -> HttpResponse:
    receipt = desk.write(
        "turn_plan",
        answer["payload"],
        by=request.user.get_username(),
        id=request.POST.get("id") or desk.new_id(timezone.now()),
        frame=str(frame.pk),
        screen=screen,
    )
    if receipt.status == "refused":
        messages.error(request, receipt.problem["detail"])
    else:
        messages.success(request, phrase("The plan is in the log. Save the turns on the phone."))
    return redirect("office:frame", frame.pk)


def lies(view: dict[str, str]) -> str:
    """How the frame lies in a drawing."""
    return phrase(LIES[view["face"]], view["near"])


def _said(frame: Frame, answer: dict[str, Any] | None) -> list[tuple[str, str]]:
    """Turns side by side: the side, then its bolts, those that turn alike together."""
    turns = {b["bolt"]: b["turn_48ths"] for b in answer["bolts"]} if answer else {}
    return [
        (side, say.turns(own, frame.step_48ths))
        for side in "ABCD"
        if (own := {bolt: turn for bolt, turn in turns.items() if bolt[0] == side})
    ]


def _drawing(frame: Frame, form: AskForm, answer: dict[str, Any] | None) -> dict[str, Any]:
    said = form.cleaned_data if form.is_valid() else {}
    view = {"face": said.get("face", "squeegee"), "near": said.get("near", "A")}
    turns = {b["bolt"]: b["turn_48ths"] for b in answer["bolts"]} if answer else {}
    return {"frame": frame.body(), "view": view, "turns": turns}
