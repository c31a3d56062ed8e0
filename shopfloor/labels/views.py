"""Addresses of the label files: sheets to print, the trial page, one label as a picture."""

import re
from collections.abc import Callable
from functools import wraps
from uuid import UUID

from django.conf import settings
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_http_methods, require_safe

from frames.errors import BadInput
from frames.models import Frame
from frames.wording import say
from shopfloor.auth import who_may

from .pages import png, sheet
from .problems import LabelProblem
from .reprint import with_mark_checked
from .rolls import Roll, roll_pdf, roll_pictures
from .stocks import stock_of
from .trial import trial_page

asked_or_answered = require_http_methods(["GET", "HEAD", "POST"])
File = Callable[..., HttpResponse]


def _told(view: File) -> File:
    """What was wrong with the request becomes a page that says what to do."""

    @wraps(view)
    def telling(request: HttpRequest, *args: object, **kwargs: object) -> HttpResponse:
        try:
            return view(request, *args, **kwargs)
        except BadInput as bad:
            told = {"title": say(bad.title), "problems": bad.problems}
            return render(request, "office/labels_problem.html", told, status=400)

    return telling


@asked_or_answered
@who_may("screen room", "manager")
@_told
def print_sheet(request: HttpRequest) -> HttpResponse:
    """`frame` (id, many), `stock`, `start`: the sheets as PDF."""
    asked, frames = request.GET, _frames(request.GET)
    stock = stock_of(asked.get("stock", "A4"))
    made = sheet(
        frames,
        stock=stock.key,
        start=_start(asked.get("start") or "1"),
        origin=settings.PUBLIC_ORIGIN,
    )
    return with_mark_checked(request, frames, stock.key, lambda: _pdf(made, "labels.pdf"))


@asked_or_answered
@who_may("screen room", "manager")
@_told
def print_roll(request: HttpRequest, kind: str) -> HttpResponse:
    """`frame` (id, many), `width`, `height` (mm), `dpi`: one label a page, or pictures."""
    frames, roll = _frames(request.GET), _roll(request.GET)
    if kind == "pdf":
        answer = _pdf(roll_pdf(frames, roll, settings.PUBLIC_ORIGIN), "roll.pdf")
    else:
        made = roll_pictures(frames, roll, settings.PUBLIC_ORIGIN)
        answer = HttpResponse(made, content_type="application/zip")
        answer["Content-Disposition"] = 'attachment; filename="roll.zip"'
    return with_mark_checked(request, frames, roll.title, lambda: answer)


@require_safe
@who_may("screen room", "manager")
@_told
def print_trial(request: HttpRequest) -> HttpResponse:
    """`stock`: outlines, ruler and notes for plain paper, as PDF."""
    return _pdf(trial_page(stock=request.GET.get("stock", "A4")), "trial-page.pdf")


@require_safe
@who_may("screen room", "manager")
@_told
def picture(request: HttpRequest, frame_id: UUID, side: str) -> HttpResponse:
    """One label as PNG."""
    frame = get_object_or_404(Frame, pk=frame_id)
    made = png(frame, side=side, origin=settings.PUBLIC_ORIGIN)
    return HttpResponse(made, content_type="image/png")


def _frames(asked: QueryDict) -> list[Frame]:
    wanted = asked.getlist("frame")
    try:
        ids = {UUID(text) for text in wanted}
    except ValueError:
        raise LabelProblem("frame", wanted, say("Choose the frames on the labels page.")) from None
    found = list(Frame.objects.filter(pk__in=ids).order_by("number"))
    if len(found) < len(ids):
        gone = sorted(str(id) for id in ids - {frame.pk for frame in found})
        raise LabelProblem("frame", gone[0], say("This frame is not known: choose again."))
    return found


def _roll(asked: QueryDict) -> Roll:
    return Roll(_number(asked, "width"), _number(asked, "height"), int(_number(asked, "dpi")))


def _number(asked: QueryDict, name: str) -> float:
    text = asked.get(name, "")
    if not re.fullmatch(r"\d{1,4}([.,]\d{1,3})?", text):
        raise LabelProblem(name, text, say("Give a number, like 76 or 25.4."))
    return float(text.replace(",", "."))


def _start(text: str) -> int:
    try:
        return int(text)
    except ValueError:
        remedy = say("Give the number of the first free label, counted row by row from 1.")
        raise LabelProblem("start", text, remedy) from None


def _pdf(made: bytes, name: str) -> HttpResponse:
    answer = HttpResponse(made, content_type="application/pdf")
    answer["Content-Disposition"] = f'inline; filename="{name}"'
    return answer
