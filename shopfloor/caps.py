"""Nothing larger than the largest file that is of use is even read, whoever sends it."""

from collections.abc import Callable
from http import HTTPStatus

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

# An outbox file of 16 MB and the form around it; pushes of phones have their own, lower limit.
LARGEST = 17 * 1024 * 1024
LARGEST_PUSH = 256 * 1024
API = "/api/"


def largest(path: str) -> int:
    """Bytes that a body for this address may have."""
    return LARGEST_PUSH if path.startswith(API) else LARGEST


class LargestBody:
    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        length = request.META.get("CONTENT_LENGTH") or "0"
        if length.isdigit() and int(length) > LARGEST and not request.path_info.startswith(API):
            return render(request, "413.html", {"largest": LARGEST >> 20}, status=TOO_LARGE)
        return self.get_response(request)


TOO_LARGE = HTTPStatus.REQUEST_ENTITY_TOO_LARGE
