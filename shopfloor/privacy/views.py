"""The page that says what is stored about people, gives it out and takes it out."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.contrib.auth.models import User
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.text import slugify

from frames import forgetting
from frames.errors import Conflict
from frames.models import Operator
from frames.wording import say
from shopfloor.auth import accounts, who_may
from shopfloor.privacy import accounts as of_accounts
from shopfloor.privacy import operators as of_operators
from shopfloor.privacy.stored import KEPT


@who_may("manager")
def page(request: HttpRequest) -> HttpResponse:
    operators = Operator.objects.exclude(name__startswith=forgetting.FORMER)
    context = {
        "kept": KEPT,
        "operators": [_row("operator", one.pk, one.name) for one in operators],
        "accounts": [
            _row("account", one.pk, one.get_username(), own=one == request.user)
            for one in accounts.known()
        ],
    }
    return render(request, "office/privacy/page.html", context)


def _row(kind: str, id: UUID | int, name: str, *, own: bool = False) -> dict[str, str]:
    """A line of the page; nobody is offered to forget their own account."""
    forget = "" if own else reverse(f"privacy:forget-{kind}", args=[id])
    return {"name": name, "known": reverse(f"privacy:{kind}-file", args=[id]), "forget": forget}


@who_may("manager")
def operator_file(request: HttpRequest, id: UUID) -> HttpResponse:
    operator = get_object_or_404(Operator, pk=id)
    return _file(operator.name, of_operators.export(operator))


@who_may("manager")
def account_file(request: HttpRequest, id: int) -> HttpResponse:
    user = get_object_or_404(User, pk=id)
    return _file(user.get_username(), of_accounts.export(user))


def _file(name: str, body: dict[str, Any]) -> HttpResponse:
    file = f"tautbook-{slugify(name) or 'person'}.json"
    headers = {"Content-Disposition": f'attachment; filename="{file}"'}
    return JsonResponse(body, json_dumps_params={"indent": 1}, headers=headers)


@who_may("manager")
def forget_operator(request: HttpRequest, id: UUID) -> HttpResponse:
    """Asks first, and names the notes that hold the name: those stay as they were typed."""
    operator = get_object_or_404(Operator, pk=id)
    if request.method == "POST":
        try:
            by = request.user.get_username()
            new = forgetting.operator(id, int(request.POST.get("version") or 0), by)
        except (Conflict, ValueError):
            messages.error(request, say("Somebody changed this operator meanwhile. Look again."))
            return redirect("privacy:forget-operator", id)
        messages.success(request, say("Forgotten: the log now says {0}.", new.name))
        return redirect("privacy:page")
    context = {"operator": operator, "mentions": forgetting.mentions(operator.name)[:100]}
    return render(request, "office/privacy/forget_operator.html", context)


@who_may("manager")
def forget_account(request: HttpRequest, id: int) -> HttpResponse:
    user = get_object_or_404(User, pk=id)
    if user == request.user:
        messages.error(request, say("This is your own account: let another manager do it."))
        return redirect("privacy:page")
    if request.method == "POST":
        new = of_accounts.forget(user)
        messages.success(request, say("Forgotten: the book now says {0}.", new))
        return redirect("privacy:page")
    mentions = forgetting.mentions(user.get_username())[:100]
    context = {"account": user, "mentions": mentions}
    return render(request, "office/privacy/forget_account.html", context)
