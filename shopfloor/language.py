"""In which language somebody is answered: their own choice, else the shop's."""

from collections.abc import Callable
from datetime import timedelta

from django.conf import settings
from django.db import DatabaseError
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import redirect
from django.utils import translation
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.csrf import csrf_exempt
from django.views.decorators.http import require_POST

from frames.models import Shop
from shopfloor.auth import who_may

KEPT_FOR = timedelta(days=365)
# asked by machines, also while the database is away
WORDLESS = ("/health", "/ready")


class OfThePerson:
    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        spoken = of(request)
        with translation.override(spoken):
            response = self.get_response(request)
        response.headers.setdefault("Content-Language", spoken)
        return response


def of(request: HttpRequest) -> str:
    """The cookie's, for a program the one language it asks for, else the shop's.

    Browsers list languages unasked, so a list says nothing about a phone that lies in the shop.
    """
    chosen = request.COOKIES.get(settings.LANGUAGE_COOKIE_NAME, "")
    if request.path.startswith("/api/"):
        chosen = chosen or request.headers.get("Accept-Language", "")
    return chosen if chosen in dict(settings.LANGUAGES) else _of_shop(request)


def _of_shop(request: HttpRequest) -> str:
    if request.path in WORDLESS:
        return settings.LANGUAGE_CODE
    try:
        return Shop.speaks()
    except DatabaseError:
        return settings.LANGUAGE_CODE


# A phone has no token, and nothing but the wording of its own pages depends on this.
@csrf_exempt
@who_may("anybody")
@require_POST
def choose(request: HttpRequest) -> HttpResponseBase:
    """Keep a choice on this phone or browser; none of the languages: the shop's again."""
    if request.headers.get("Sec-Fetch-Site", "same-origin") != "same-origin":
        return HttpResponse(status=403)
    following = request.POST.get("next", "")
    ours = url_has_allowed_host_and_scheme(following, {request.get_host()}, request.is_secure())
    response = redirect(following) if ours else HttpResponse(status=204)
    chosen = request.POST.get("language", "")
    if chosen in dict(settings.LANGUAGES):
        _keep(response, chosen)
    else:
        response.delete_cookie(settings.LANGUAGE_COOKIE_NAME, samesite="Lax")
    return response


def _keep(response: HttpResponseBase, chosen: str) -> None:
    response.set_cookie(
        settings.LANGUAGE_COOKIE_NAME,
        chosen,
        max_age=KEPT_FOR,
        secure=settings.ON_HTTPS,
        httponly=True,
        samesite="Lax",
    )
