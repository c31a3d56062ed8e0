"""The calendar itself, and the page where its secret addresses are made and revoked."""

from datetime import timedelta
from uuid import UUID

from django import forms
from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.cache import add_never_cache_headers
from django.utils.translation import gettext_lazy as _
from django.views.decorators.http import require_POST, require_safe

from frames.models import Shop
from shopfloor.auth import who_may
from shopfloor.auth.secrets_at_rest import digest, new_cookie
from shopfloor.dates.events import events
from shopfloor.dates.ical import calendar
from shopfloor.models import DateFeed

READ_EVERY = timedelta(hours=1)


@who_may("anybody")
@require_safe
def feed(request: HttpRequest, token: str) -> HttpResponse:
    """The calendar, to whoever knows the address; a revoked one is as if it had never been."""
    found = DateFeed.objects.filter(token_hash=digest(token)).first()
    if found is None:
        raise Http404
    now = timezone.now()
    if found.read_at is None or now - found.read_at > READ_EVERY:
        DateFeed.objects.filter(pk=found.pk).update(read_at=now)
    shop = Shop.objects.first()
    office = request.build_absolute_uri(reverse("office:today"))
    text = calendar(shop.name if shop else "Tautbook", events(now, office), now)
    response = HttpResponse(text, content_type="text/calendar; charset=utf-8")
    add_never_cache_headers(response)
    return response


class FeedForm(forms.Form):
    label = forms.CharField(
        label=_("Whose calendar"),
        max_length=60,
        error_messages={"required": _("Nothing written. Say whose calendar it is for.")},
    )


@who_may("screen room", "manager")
def page(request: HttpRequest) -> HttpResponse:
    """Addresses in use; a new one is shown this once, since only its digest is kept."""
    form, made = FeedForm(request.POST or None), {}
    if form.is_valid():
        secret, label = new_cookie(), form.cleaned_data["label"]
        DateFeed.objects.create(label=label, token_hash=digest(secret), made_at=timezone.now())
        address = request.build_absolute_uri(reverse("date-feed", args=[secret]))
        form, made = FeedForm(), {"made": label, "address": address}
    context = {"form": form, "feeds": DateFeed.objects.all(), **made}
    return render(request, "office/dates.html", context)


@who_may("screen room", "manager")
@require_POST
def revoke(request: HttpRequest, feed_id: UUID) -> HttpResponse:
    found = get_object_or_404(DateFeed, pk=feed_id)
    found.delete()
    messages.success(
        request,
        _("Revoked: %(label)s. Its address shows nothing any more.") % {"label": found.label},
    )
    return redirect("dates:page")
