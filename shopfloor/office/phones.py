"""Phones: who is in, how they are doing, how to let one in or out."""

from typing import Any
from uuid import UUID

from django.conf import settings
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from frames.models import Press
from frames.wording import mark
from frames.wording import say as phrase
from shopfloor import auth, authority
from shopfloor.auth import who_may
from shopfloor.auth.secrets_at_rest import digest
from shopfloor.models import AuditEvent, Device, Enrolment
from shopfloor.office.phone_forms import NumberForm, PhoneForm
from shopfloor.office.phone_health import troubles
from shopfloor.office.qr import svg
from shopfloor.office.standing import moment

CHANGES = {"retire": auth.retire, "block": auth.block, "reactivate": auth.reactivate}
SAID = {
    "retire": mark("{0} is retired."),
    "block": mark("{0} is blocked."),
    "reactivate": mark("{0} is back in use."),
}
AUDIT_LINES = 30
NOT_TAKEN_UP = mark("No phone shows a number yet: scan the code on the phone first.")


@who_may("manager")
def phones(request: HttpRequest) -> HttpResponse:
    now = timezone.now()
    presses = {str(press.pk): press.name for press in Press.objects.all()}
    devices = list(Device.objects.for_phones_page())
    found = troubles(devices, now)
    context = {
        "rows": [row(device, found.get(device.pk, []), presses) for device in devices],
        "waiting": Enrolment.objects.waiting(now),
        "audit": AuditEvent.objects.about_phones()[:AUDIT_LINES],
        "fingerprint": authority.fingerprint(settings.TAUTBOOK_DATA),
    }
    return render(request, "office/phones.html", context)


def row(device: Device, trouble: list[str], presses: dict[str, str]) -> dict[str, Any]:
    press = device.scope.get("press")
    may = [phrase("stays at {0}", presses.get(press) or phrase("a press"))] if press else []
    if device.scope.get("may_turn_with_stencil"):
        may.append(phrase("may turn bolts with a stencil on"))
    return {
        "device": device,
        "seen": device.last_seen,
        "oldest": moment(device.last_seen.get("oldest_at")),
        "trouble": trouble,
        "may": ", ".join(may),
    }


@who_may("manager")
def add(request: HttpRequest) -> HttpResponse:
    """Name the phone first; then its invitation is shown, once, on a page of its own."""
    form = PhoneForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            offer = auth.offer(request.user, form.cleaned_data["label"], form.scope())
        except auth.EnrolmentError as error:
            form.take(error)
        else:
            return shown(request, offer.enrolment, offer.token, offer.code, NumberForm())
    return render(request, "office/phone_form.html", {"form": form})


def shown(
    request: HttpRequest, enrolment: Enrolment, token: str, code: str, form: NumberForm
) -> HttpResponse:
    """The invitation. Its secrets live on this page alone, in no address and no session."""
    context = {"enrolment": enrolment, "token": token, "code": code, "form": form}
    if token:
        context["qr"] = svg(auth.enrol_url(token))
    return render(request, "office/invitation.html", context)


@who_may("manager")
def let_in(request: HttpRequest, enrolment_id: UUID) -> HttpResponse:
    """Type the number that the phone shows."""
    enrolment = get_object_or_404(Enrolment, pk=enrolment_id)
    if enrolment.status == Enrolment.Status.APPROVED:
        return redirect("office:phones")
    form = NumberForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            if enrolment.status == Enrolment.Status.OFFERED:
                raise auth.EnrolmentError("number", "", phrase(NOT_TAKEN_UP))
            device = auth.approve(enrolment, form.cleaned_data["number"], request.user)
        except auth.EnrolmentError as error:
            form.take(error)
            enrolment.refresh_from_db()
        else:
            messages.success(request, phrase("{0} is in.", device.label))
            return redirect("office:phones")
    token, code = request.POST.get("token", ""), request.POST.get("code", "")
    if digest(token) != enrolment.token_hash:  # only what the invitation itself showed is drawn
        token = code = ""
    return shown(request, enrolment, token, code, form)


@require_POST
@who_may("manager")
def turn_away(request: HttpRequest, enrolment_id: UUID) -> HttpResponse:
    enrolment = get_object_or_404(Enrolment, pk=enrolment_id)
    auth.refuse(enrolment, request.user)
    messages.success(request, phrase("{0} was turned away.", enrolment.label))
    return redirect("office:phones")


@who_may("manager")
def change(request: HttpRequest, device_id: UUID, how: str) -> HttpResponse:
    """Retire, block or take back a phone; asks first, on a page that says what it means."""
    device = get_object_or_404(Device, pk=device_id)
    if request.method == "POST":
        CHANGES[how](device, request.user)
        messages.success(request, phrase(SAID[how], device.label))
        return redirect("office:phones")
    return render(request, "office/phone_change.html", {"device": device, "how": how})
