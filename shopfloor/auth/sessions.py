"""How long a sign-in lasts, and what someone sees who tried too often."""

import ipaddress
from collections.abc import Callable
from datetime import datetime, timedelta

from django.conf import settings
from django.contrib.auth import logout
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

TOUCH_EVERY = timedelta(minutes=5)
# An open page that only looks whether anything changed is nobody at the desk.
BY_ITSELF = "X-By-Itself"


class SessionLimits:
    """Ends a sign-in that was idle too long or is too old; a used one goes on."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        # looked at first, so that a page for everybody does not vary by cookie
        if settings.SESSION_COOKIE_NAME in request.COOKIES and request.user.is_authenticated:
            self._limit(request, timezone.now())
        return self.get_response(request)

    def _limit(self, request: HttpRequest, now: datetime) -> None:
        began = datetime.fromisoformat(request.session.setdefault("began_at", now.isoformat()))
        seen = datetime.fromisoformat(request.session.setdefault("seen_at", now.isoformat()))
        idle = timedelta(seconds=settings.SESSION_COOKIE_AGE)
        if now - began > settings.SESSION_LONGEST or now - seen > idle:
            logout(request)
        elif now - seen > TOUCH_EVERY and BY_ITSELF not in request.headers:
            # not on every request: each touch is a write to the database
            request.session["seen_at"] = now.isoformat()


def client_address(request: HttpRequest) -> str:
    """Whose attempts are counted. A proxy writes last whom it heard; before that anything may be
    claimed, and without a proxy all of it."""
    heard = request.META.get("HTTP_X_FORWARDED_FOR", "").rpartition(",")[2].strip()
    try:
        if settings.BEHIND_PROXY and heard:
            return str(ipaddress.ip_address(heard))
    except ValueError:
        pass
    return request.META.get("REMOTE_ADDR", "")


def locked_out(request: HttpRequest, *args: object, **kwargs: object) -> HttpResponse:
    return render(request, "office/locked_out.html", status=429)
