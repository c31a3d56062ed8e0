"""Nothing larger than the largest file that is of use is even read, whoever sends it."""

from collections.abc import Callable
from http import HTTPStatus

from django.conf import settings
from django.contrib.auth.views import redirect_to_login
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

# An outbox file of 16 MB and the form around it; pushes of phones have their own, lower limit.
LARGEST = 17 * 1024 * 1024
LARGEST_PUSH = 256 * 1024
# A page of the office with every box ticked and a list of readings pasted in has a tenth of it.
LARGEST_FORM = 256 * 1024
API = "/api/"
# The two addresses that take a file.
FILES = ("/office/phones/outbox/", "/office/shop/lists/")


def largest(path: str, *, signed_in: bool) -> int:
    """Bytes that a body for this address may have: a file only from who seems to be signed in."""
    if path.startswith(API):
        return LARGEST_PUSH
    return LARGEST if path in FILES and signed_in else LARGEST_FORM


class LargestBody:
    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        length = request.META.get("CONTENT_LENGTH") or "0"
        path, signed_in = request.path_info, settings.SESSION_COOKIE_NAME in request.COOKIES
        limit = largest(path, signed_in=signed_in)
        if path.startswith(API) or not length.isdigit() or int(length) <= limit:
            return self.get_response(request)
        if path in FILES and not signed_in and int(length) <= LARGEST:
            # the sign-in ran out before the file was chosen
            return redirect_to_login(path)
        most = {"of_a_file": LARGEST >> 20} if path in FILES else {"of_a_form": limit >> 10}
        return render(request, "413.html", most, status=HTTPStatus.REQUEST_ENTITY_TOO_LARGE)
