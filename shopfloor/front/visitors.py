"""What the head of a request says of its sender, as Django reads it."""

from django.conf import settings
from django.http import HttpRequest, parse_cookie

from shopfloor.auth.sessions import client_address
from shopfloor.front.types import Scope, every_header


def address(scope: Scope) -> str:
    """By whom room and turns are shared out: the same whose attempts to sign in are counted."""
    request = HttpRequest()
    peer, *_ = scope.get("client") or [""]
    heard = ",".join(every_header(scope, b"x-forwarded-for"))
    request.META = {"REMOTE_ADDR": peer, "HTTP_X_FORWARDED_FOR": heard}
    return client_address(request)


def cookies(scope: Scope) -> dict[str, str]:
    return parse_cookie("; ".join(every_header(scope, b"cookie")))


def has_session(scope: Scope) -> bool:
    """Whether it claims to be signed in; whether that is so only the database knows."""
    return settings.SESSION_COOKIE_NAME in cookies(scope)
