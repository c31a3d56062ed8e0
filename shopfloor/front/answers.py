"""What the front says itself, to phones as problem details and to people as a page."""

import json
from collections.abc import Callable
from functools import partial
from random import randint

from django.conf import settings
from django.template.loader import render_to_string
from django.utils import translation

from shopfloor.api import problems
from shopfloor.api.problems import ProblemError
from shopfloor.front.types import Headers, Scope, Whole, every_header
from shopfloor.front.visitors import cookies

SHARED: Headers = [
    (b"cache-control", b"no-store"),
    (b"x-content-type-options", b"nosniff"),
    (b"content-security-policy", b"default-src 'none'; style-src 'self'; img-src 'self'"),
]


def put_off(scope: Scope) -> Whole:
    """Everybody is told another time, or all would be back at the same moment."""
    return _told(scope, partial(problems.busy, randint(3, 12)))


def too_late(scope: Scope) -> Whole:
    return _told(scope, problems.too_late)


def too_long(scope: Scope) -> Whole:
    return _told(scope, problems.no_length)


def _told(scope: Scope, make: Callable[[], ProblemError]) -> Whole:
    with translation.override(_spoken(scope)):
        problem = make()
        kind, body = _written(scope, problem)
    extra = [(name.lower().encode(), value.encode()) for name, value in problem.headers.items()]
    headers = [*SHARED, *extra, (b"content-type", kind.encode())]
    return Whole(problem.body["status"], headers, body.encode())


def _written(scope: Scope, problem: ProblemError) -> tuple[str, str]:
    if scope["path"].startswith("/api/"):
        return problems.CONTENT_TYPE, json.dumps(problem.body)
    return "text/html; charset=utf-8", render_to_string("front.html", problem.body)


def _spoken(scope: Scope) -> str:
    """The choice that a cookie keeps, else what the browser asks for: the shop's is in the book,
    which is what everybody waits for."""
    chosen = cookies(scope).get(settings.LANGUAGE_COOKIE_NAME, "")
    asked = [chosen, *(text[:2].lower() for text in every_header(scope, b"accept-language"))]
    known = dict(settings.LANGUAGES)
    return next((one for one in asked if one in known), settings.LANGUAGE_CODE)
