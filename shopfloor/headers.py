"""Headers that every answer carries, also those of static files and of errors."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse

PERMISSIONS = (
    "camera=(self), microphone=(), geolocation=(), payment=(), usb=(), serial=(), "
    "accelerometer=(), gyroscope=(), magnetometer=(), display-capture=()"
)


class EveryAnswer:
    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        response = self.get_response(request)
        response.headers.setdefault("Permissions-Policy", PERMISSIONS)
        response.headers.setdefault("Cross-Origin-Resource-Policy", "same-origin")
        return response
