"""Accounts: who signs in at the office and the screen room, and how to let one in or out."""

from typing import Any

from django.contrib import messages
from django.contrib.auth.models import User
from django.db import IntegrityError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from frames.wording import mark
from frames.wording import say as phrase
from shopfloor.auth import accounts as doors
from shopfloor.auth import who_may
from shopfloor.models import AuditEvent
from shopfloor.office.account_forms import AccountForm, RoleForm, taken
from shopfloor.office.say import day

CHANGES = {"lock": doors.lock, "unlock": doors.unlock}
SAID = {
    "lock": mark("{0} is locked, and signed out everywhere."),
    "unlock": mark("{0} may sign in again."),
}
AUDIT_LINES = 30


@who_may("manager")
def accounts(request: HttpRequest) -> HttpResponse:
    context = {
        "rows": [row(user) for user in doors.known()],
        "audit": AuditEvent.objects.about_accounts()[:AUDIT_LINES],
    }
    return render(request, "office/accounts.html", context)


def row(user: User) -> dict[str, Any]:
    return {"account": user, "role": doors.role(user), "standing": standing(user)}


def standing(user: User) -> str:
    """What keeps the account from being used; nothing where nothing does."""
    if not user.is_active:
        return phrase("locked")
    first = getattr(user, "firstpassword", None)
    if first is None or first.digest != user.password:
        return ""
    if first.until <= timezone.now():
        return phrase("its first password has run out")
    return phrase("first password, good until {0}", day(first.until))


@who_may("manager")
def add(request: HttpRequest) -> HttpResponse:
    form = AccountForm(request.POST or None)
    if form.is_valid():
        name = form.cleaned_data["name"]
        try:
            return shown(request, name, doors.add(name, form.cleaned_data["role"], request.user))
        except IntegrityError:
            form.add_error("name", taken(name))
    return render(request, "office/account_form.html", {"form": form})


def shown(request: HttpRequest, name: str, password: str) -> HttpResponse:
    """The password, this once: it is in no address, no session and no log."""
    return render(request, "office/account_made.html", {"name": name, "password": password})


@who_may("manager")
def account(request: HttpRequest, id: int) -> HttpResponse:
    """One account and what can be done about it; a post changes the role."""
    user = get_object_or_404(doors.known(), pk=id)
    form = RoleForm(request.POST or None, initial={"role": doors.role(user)})
    if request.method == "POST" and is_own(request, user):
        return redirect("office:accounts")
    if form.is_valid():
        doors.set_role(user, form.cleaned_data["role"], request.user)
        messages.success(request, phrase("Saved: {0}.", user.get_username()))
        return redirect("office:accounts")
    own = user == request.user
    return render(request, "office/account.html", {**row(user), "form": form, "own": own})


@require_POST
@who_may("manager")
def give_password(request: HttpRequest, id: int) -> HttpResponse:
    user = get_object_or_404(doors.known(), pk=id)
    if is_own(request, user):
        return redirect("office:accounts")
    return shown(request, user.get_username(), doors.give_password(user, request.user))


@require_POST
@who_may("manager")
def change(request: HttpRequest, id: int, how: str) -> HttpResponse:
    user = get_object_or_404(doors.known(), pk=id)
    if not is_own(request, user):
        CHANGES[how](user, request.user)
        messages.success(request, phrase(SAID[how], user.get_username()))
    return redirect("office:accounts")


def is_own(request: HttpRequest, user: User) -> bool:
    """Nobody shuts themselves out, so that one manager always remains; said if so."""
    if user != request.user:
        return False
    messages.error(request, phrase("This is your own account: let another manager do it."))
    return True
