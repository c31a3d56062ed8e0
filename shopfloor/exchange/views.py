"""A list comes in: choose the file, look at what it would do, take it."""

from typing import Any
from uuid import UUID

from django import forms
from django.contrib import messages
from django.core.paginator import Paginator
from django.db.models import Count
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.functional import lazy
from django.utils.translation import gettext_lazy as _
from django.views.decorators.http import require_POST, require_safe

from frames.errors import BadInput, Problem
from frames.wording import say, written
from shopfloor.auth import who_may
from shopfloor.exchange.columns import KINDS
from shopfloor.exchange.decoding import MOST_BYTES, FileProblem
from shopfloor.exchange.lists import LISTS
from shopfloor.exchange.models import Line, Upload
from shopfloor.exchange.proposals import BAD, CHANGE, LEFT, NEW
from shopfloor.exchange.receiving import receive
from shopfloor.exchange.splitting import MARK_NAMES, MOST_ROWS
from shopfloor.exchange.taking import progress, take_chunk

LINES = 50
called = lazy(say, str)


class FileForm(forms.Form):
    slug = forms.ChoiceField(
        label=_("What is in it"),
        choices=[(slug, called(slug)) for slug in KINDS],
        error_messages={"required": _("Nothing chosen. Choose one.")},
    )
    file = forms.FileField(
        label=_("CSV file"),
        widget=forms.FileInput(attrs={"accept": ".csv,.txt,.tsv,text/csv"}),
        error_messages={
            "required": _("Nothing chosen. Choose a CSV file."),
            "empty": _("Nothing is in this file. Choose another one."),
        },
    )


@who_may("screen room", "manager")
def lists(request: HttpRequest) -> HttpResponse:
    form = FileForm(request.POST or None, request.FILES or None)
    problems: list[Problem] = []
    if form.is_valid():
        try:
            return redirect("exchange:look", _received(form.cleaned_data, request).pk)
        except BadInput as error:
            problems = error.problems
    context = {
        "form": form,
        "problems": problems,
        "lists": LISTS,
        "kinds": KINDS,
        "recent": Upload.objects.recent(),
        "most_rows": MOST_ROWS,
        "most_mb": MOST_BYTES // 1024 // 1024,
    }
    return render(request, "office/exchange/lists.html", context, status=400 if problems else 200)


def _received(typed: dict[str, Any], request: HttpRequest) -> Upload:
    file = typed["file"]
    if file.size > MOST_BYTES:
        most = MOST_BYTES // 1024 // 1024
        remedy = say("Split it: a file may have up to {0} MB.", most)
        raise FileProblem("file", say("{0} MB", written(file.size / 1024 / 1024, ".1f")), remedy)
    by = request.user.get_username()
    return receive(typed["slug"], file.read(), name=file.name, by=by, now=timezone.now())


@require_safe
@who_may("screen room", "manager")
def look(request: HttpRequest, upload_id: UUID) -> HttpResponse:
    """What the file would do, row by row; after taking, what it did."""
    upload = get_object_or_404(Upload, pk=upload_id)
    shown = request.GET.get("shown", "")
    lines = upload.lines.order_by("row")
    if shown in dict(Line.VERDICTS):
        lines = lines.filter(verdict=shown)
    counts = dict(upload.lines.values_list("verdict").annotate(Count("pk")).order_by())
    context = {
        "upload": upload,
        "page": Paginator(lines, LINES).get_page(request.GET.get("page")),
        "tabs": [(key, name, counts[key]) for key, name in Line.VERDICTS if counts.get(key)],
        "all": sum(counts.values()),
        "shown": shown,
        "to_take": counts.get(NEW, 0) + counts.get(CHANGE, 0),
        "kept": counts.get(BAD, 0) + counts.get(LEFT, 0),
        "progress": progress(upload),
        "mark": MARK_NAMES.get(upload.mark, upload.mark),
    }
    return render(request, "office/exchange/look.html", context)


@require_POST
@who_may("screen room", "manager")
def take(request: HttpRequest, upload_id: UUID) -> HttpResponse:
    """Take the next rows; the page asks again until all are through."""
    upload = get_object_or_404(Upload, pk=upload_id)
    now = take_chunk(upload, f"desk:{request.user.get_username()}", timezone.now())
    if "application/json" in request.headers.get("Accept", ""):
        return JsonResponse({"done": now.done, "of": now.of, "finished": now.finished})
    return redirect("exchange:look", upload_id)


@require_POST
@who_may("screen room", "manager")
def drop(request: HttpRequest, upload_id: UUID) -> HttpResponse:
    """Forget the file; what was taken from it stays in the book."""
    upload = get_object_or_404(Upload, pk=upload_id)
    upload.delete()
    messages.success(request, say("{0} is put away.", upload.file_name))
    return redirect("exchange:lists")
