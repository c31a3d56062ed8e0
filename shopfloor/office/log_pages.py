"""What the log holds that somebody should look at: flagged entries, and copies of refused ones."""

import json
from uuid import UUID

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from frames.models import Entry, Frame, Refused
from frames.wording import say as phrase
from shopfloor.auth import who_may
from shopfloor.office import say
from shopfloor.office.history import History, device_names

PER_PAGE = 50


@who_may("screen room", "manager")
def flagged(request: HttpRequest) -> HttpResponse:
    page = Paginator(Entry.objects.flagged().order_by("-seq"), PER_PAGE).get_page(
        request.GET.get("page")
    )
    lines = History(page.object_list).lines()
    codes = frame_codes({entry.frame_id for entry in page.object_list})
    rows = [(line, codes.get(line.entry.frame_id, "")) for line in lines]
    return render(request, "office/flagged.html", {"rows": rows, "page": page})


def frame_codes(ids: set[UUID | None]) -> dict[UUID, str]:
    return dict(Frame.objects.filter(pk__in=ids - {None}).values_list("pk", "code"))


@who_may("screen room", "manager")
def refused(request: HttpRequest) -> HttpResponse:
    settled = request.GET.get("settled") == "yes"
    rows = Refused.objects.exclude(settled_at=None) if settled else Refused.objects.standing()
    page = Paginator(rows, PER_PAGE).get_page(request.GET.get("page"))
    devices = device_names({row.device for row in page.object_list})
    shown = [(row, devices.get(row.device, row.device), readable(row.raw)) for row in page]
    context = {"rows": shown, "page": page, "settled": settled}
    return render(request, "office/refused.html", context)


def readable(raw: str) -> str:
    """The kept copy, laid out for reading if it is JSON."""
    try:
        return say.sendable(json.dumps(json.loads(raw), indent=2, ensure_ascii=False))
    except (ValueError, RecursionError):
        return say.sendable(raw)


@require_POST
@who_may("screen room", "manager")
def settle(request: HttpRequest, refused_id: int) -> HttpResponse:
    """Somebody has dealt with it; the copy stays."""
    row = get_object_or_404(Refused, pk=refused_id)
    Refused.objects.filter(pk=row.pk, settled_at=None).update(settled_at=timezone.now())
    messages.success(request, phrase("Marked as dealt with. The copy is kept."))
    return redirect("office:refused")
