"""A database that is locked, full or away, said as such instead of as a mistake of the server."""

import logging
from collections.abc import Callable

from django.db import OperationalError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

RETRY_AFTER_S = 5
logger = logging.getLogger(__name__)


class SaysBusy:
    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        return self.get_response(request)

    def process_exception(self, request: HttpRequest, error: Exception) -> HttpResponse | None:
        if not isinstance(error, OperationalError):
            return None
        logger.error("the database did not answer", exc_info=error)
        response = render(request, "503.html", status=503)
        response["Retry-After"] = str(RETRY_AFTER_S)
        return response
