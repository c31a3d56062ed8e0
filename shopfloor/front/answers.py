"""What the front says itself, to phones as problem details and to people as a page."""

import json
from random import randint

from django.template.loader import render_to_string

from shopfloor.api import problems
from shopfloor.api.problems import ProblemError
from shopfloor.front.types import Headers, Scope, Whole

SHARED: Headers = [
    (b"cache-control", b"no-store"),
    (b"x-content-type-options", b"nosniff"),
    (b"content-security-policy", b"default-src 'none'; style-src 'self'; img-src 'self'"),
]


def put_off(scope: Scope) -> Whole:
    """Everybody is told another time, or all would be back at the same moment."""
    return _told(scope, problems.busy(randint(3, 12)))


def too_late(scope: Scope) -> Whole:
    return _told(scope, problems.too_late())


def too_long(scope: Scope) -> Whole:
    return _told(scope, problems.no_length())


def _told(scope: Scope, problem: ProblemError) -> Whole:
    extra = [(name.lower().encode(), value.encode()) for name, value in problem.headers.items()]
    if scope["path"].startswith("/api/"):
        kind, body = problems.CONTENT_TYPE, json.dumps(problem.body)
    else:
        kind, body = "text/html; charset=utf-8", render_to_string("front.html", problem.body)
    headers = [*SHARED, *extra, (b"content-type", kind.encode())]
    return Whole(problem.body["status"], headers, body.encode())
