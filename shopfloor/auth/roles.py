"""Who may open which page. Every view says so, and a test walks over all of them."""

from collections.abc import Callable
from functools import wraps
from typing import Any

from django.contrib.auth.models import Group
from django.contrib.auth.views import redirect_to_login
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponseBase
from django.utils.cache import add_never_cache_headers

ANYBODY = "anybody"
SCREEN_ROOM = "screen room"
MANAGER = "manager"
GROUPS = (SCREEN_ROOM, MANAGER)

View = Callable[..., HttpResponseBase]


def make_groups(**kwargs: Any) -> None:
    for name in GROUPS:
        Group.objects.get_or_create(name=name)


def holds(user: Any, roles: frozenset[str]) -> bool:
    """Whether an account has one of the roles; superusers count as managers."""
    if not user.is_authenticated:
        return False
    if user.is_superuser:
        return MANAGER in roles
    return user.groups.filter(name__in=roles).exists()


def who_may(*roles: str) -> Callable[[View], View]:
    """Decorator: `who_may("anybody")`, or the names of the groups that may open the view."""
    allowed = frozenset(roles)
    if not allowed or not allowed <= {ANYBODY, *GROUPS}:
        raise ValueError(f"who_may{roles}: name anybody, screen room or manager")

    def declare(view: View) -> View:
        @wraps(view)
        def guarded(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
            if ANYBODY in allowed:
                return view(request, *args, **kwargs)
            if not holds(request.user, allowed):
                return _turn_away(request)
            response = view(request, *args, **kwargs)
            # the next person at this screen must not find it by going back
            add_never_cache_headers(response)
            return response

        guarded.open_to = allowed
        return guarded

    return declare


def _turn_away(request: HttpRequest) -> HttpResponseBase:
    if request.user.is_authenticated:
        raise PermissionDenied("This page is for another group of people.")
    return redirect_to_login(request.get_full_path())
