"""What given turns would do: the tension over the whole mesh, before anyone turns a bolt."""

from typing import Any
from uuid import UUID

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils.translation import gettext_lazy as _

from frames import advice, derived
from frames.errors import BadInput
from frames.models import Frame, FrameState
from frames.wording import say as phrase
from shopfloor.auth import who_may
from shopfloor.office import say
from shopfloor.office.payload_fields import BoltsField

STEPS = 10  # of the colour scale
WAYS = (
    (
        "along_a",
        _("Along A"),
        _("Tension along A over the whole mesh, N/cm; side C on top, D at the left"),
    ),
    (
        "across_a",
        _("Across A"),
        _("Tension across A over the whole mesh, N/cm; side C on top, D at the left"),
    ),
)
MODEL = "membrane"


class TurnsForm(forms.Form):
    """Bolts and turns in steps of the frame's heads, as they are written in the log."""

    def __init__(self, *args: Any, frame: Frame, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.frame = frame
        unit = say.unit(frame.step_48ths)
        self.fields["bolts"] = BoltsField(
            key="turn_48ths",
            step_48ths=frame.step_48ths,
            required=False,
            label=phrase("Bolts and turns ({0}, + tightens)", unit),
            help_text=phrase("Like A1 +2 C4 -1. Leave it empty to see the tension as it is."),
        )

    def clean_bolts(self) -> list[dict]:
        turned = self.cleaned_data["bolts"]
        names = _bolts_of(self.frame)
        for name in (turn["bolt"] for turn in turned):
            if name not in names:
                there = ", ".join(say.rows(names))
                told = phrase("{0} has no bolt {1}. It has {2}.", self.frame.code, name, there)
                raise forms.ValidationError(told)
        return turned


def _bolts_of(frame: Frame) -> list[str]:
    return [f"{side}{n}" for side, at in frame.bolts.items() for n in range(1, len(at) + 1)]


@who_may("screen room", "manager")
def what_if(request: HttpRequest, frame_id: UUID) -> HttpResponse:
    frame = get_object_or_404(Frame, pk=frame_id)
    form = TurnsForm(request.GET if "bolts" in request.GET else None, frame=frame)
    turns = form.cleaned_data["bolts"] if form.is_valid() else []
    answer, refused = None, ""
    if not form.is_bound or form.is_valid():
        answer, refused = _answer(frame, turns)
    context = {
        "frame": frame,
        "form": form,
        "turns": say.turns({t["bolt"]: t["turn_48ths"] for t in turns}, frame.step_48ths),
        "answer": answer,
        "refused": refused,
        "maps": maps(answer["map"], bool(turns)) if answer else [],
        "drawing": _drawing(frame, turns),
    }
    return render(request, "office/what_if.html", context)


def _answer(frame: Frame, turns: list[dict]) -> tuple[dict[str, Any] | None, str]:
    """What comes of the turns, or why nobody can say; neither without a mesh and a check."""
    state = FrameState.objects.filter(pk=frame.pk).first()
    asked = state and state.screen and derived.request(state.screen, turns=turns, model=MODEL)
    if not asked or not asked["screen"]["checks"]["bare"]:
        return None, ""
    try:
        return advice.what_if(asked), ""
    except BadInput as error:
        return None, error.problems[0].remedy


def maps(found: dict[str, Any], turned: bool) -> list[dict[str, Any]]:
    """Each direction as rows of cells from the far side C down to A, coloured on one scale."""
    every = [value for way, *_said in WAYS for row in found[way] for value in row]
    low, high = min(every), max(every)
    return [
        {
            "title": title,
            "caption": caption,
            "low": min(min(row) for row in found[way]),
            "high": max(max(row) for row in found[way]),
            "columns": [_percent(u) for u in found["u"]],
            "rows": [
                {
                    "v": _percent(v),
                    "cells": [
                        {
                            "value": value,
                            "shade": _shade(value, low, high),
                            "change": change if turned else None,
                        }
                        for value, change in zip(row, changes, strict=True)
                    ],
                }
                for v, row, changes in reversed(
                    list(zip(found["v"], found[way], found[f"change_{way}"], strict=True))
                )
            ],
        }
        for way, title, caption in WAYS
    ]


def _percent(share: float) -> str:
    return f"{100 * share:.0f}"


def _shade(value: float, low: float, high: float) -> int:
    return round(STEPS * (value - low) / (high - low)) if high > low else STEPS // 2


def _drawing(frame: Frame, turns: list[dict]) -> dict[str, Any]:
    return {
        "frame": frame.body(),
        "view": {"face": "squeegee", "near": "A"},
        "turns": {t["bolt"]: t["turn_48ths"] for t in turns},
    }
