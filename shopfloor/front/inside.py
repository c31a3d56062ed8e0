"""Django, called in a thread with a request whose body is already there."""

from collections.abc import Callable
from io import BytesIO
from typing import Any

from django.core import signals
from django.core.handlers.asgi import ASGIRequest
from django.core.handlers.base import BaseHandler
from django.http import FileResponse, HttpResponse, HttpResponseBadRequest, StreamingHttpResponse
from django.urls import set_script_prefix

from shopfloor.front.types import Headers, Scope, Whole


class Inside(BaseHandler):
    def __init__(self) -> None:
        super().__init__()
        self.load_middleware()

    def answer(
        self, scope: Scope, body: bytes, tell: Callable[[dict[str, Any]], None]
    ) -> Whole | None:
        """The whole answer; or None, after a long one was told piece by piece."""
        set_script_prefix("/")
        signals.request_started.send(sender=type(self), scope=scope)
        response = self._response(scope, body)
        response._handler_class = type(self)  # its end is told to Django as this handler's
        try:
            start = Whole(response.status_code, _headers(response))
            if response.streaming and not isinstance(response, FileResponse):
                return _tell(start, response, tell)
            return Whole(start.status, start.headers, b"".join(response))
        finally:
            response.close()

    def _response(self, scope: Scope, body: bytes) -> HttpResponse:
        try:
            request = ASGIRequest(_one_cookie_line(scope), BytesIO(body))
        except UnicodeDecodeError:
            return HttpResponseBadRequest()
        return self.get_response(request)


def _one_cookie_line(scope: Scope) -> Scope:
    """HTTP/2 may bring cookies one by one (RFC 9113, section 8.2.3)."""
    cookies = [value for name, value in scope["headers"] if name == b"cookie"]
    if len(cookies) < 2:
        return scope
    others = [(name, value) for name, value in scope["headers"] if name != b"cookie"]
    return {**scope, "headers": [*others, (b"cookie", b"; ".join(cookies))]}


def _headers(response: HttpResponse) -> Headers:
    lines = [(name.lower(), value) for name, value in response.items()]
    lines += [("set-cookie", morsel.OutputString()) for morsel in response.cookies.values()]
    return [(name.encode("ascii"), value.encode("latin-1")) for name, value in lines]


def _tell(
    start: Whole, response: StreamingHttpResponse, tell: Callable[[dict[str, Any]], None]
) -> None:
    tell(start.start())
    for piece in response:
        tell({"type": "http.response.body", "body": piece, "more_body": True})
    tell({"type": "http.response.body", "body": b""})
