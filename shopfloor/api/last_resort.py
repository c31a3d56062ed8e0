"""Errors that arise outside the operations (no such address, wrong method, a crash) in the body
that all errors of the API share."""

from collections.abc import Callable
from http import HTTPStatus

from django.http import HttpRequest, HttpResponse

from frames.wording import mark, say
from shopfloor.api.problems import CONTENT_TYPE, ProblemError, answer

PREFIX = "/api/"
WORDS = {
    400: (
        "unreadable",
        mark("The request cannot be read"),
        mark("Look at the documentation of the API."),
    ),
    403: (
        "cross-site",
        mark("This request did not come from the app"),
        mark("Open Tautbook itself."),
    ),
    404: (
        "not-found",
        mark("There is nothing here"),
        mark("Look at the documentation of the API."),
    ),
    405: (
        "method",
        mark("This address is asked another way"),
        mark("Use a method named in Allow."),
    ),
    500: (
        "internal",
        mark("The server made a mistake"),
        mark("Nothing is lost: send it again later."),
    ),
}


class ProblemsOnly:
    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        response = self.get_response(request)
        if not request.path_info.startswith(PREFIX):
            return response
        response.headers.setdefault("Cache-Control", "no-store")
        plain = response.headers.get("Content-Type") != CONTENT_TYPE
        if response.status_code >= HTTPStatus.BAD_REQUEST and plain:
            return _as_problem(request, response)
        return response


def _as_problem(request: HttpRequest, response: HttpResponse) -> HttpResponse:
    status = HTTPStatus(response.status_code)
    fallback = 500 if status >= HTTPStatus.INTERNAL_SERVER_ERROR else 400
    word, title, detail = WORDS.get(status, WORDS[fallback])
    allow = {"Allow": response["Allow"]} if "Allow" in response else {}
    return answer(request, ProblemError(status, word, say(title), say(detail), headers=allow))
