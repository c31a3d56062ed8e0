"""The plain-http page that hands the shop's certificate authority to phones, and only that.

A WSGI application of its own, without Django, so that nothing else can ever be reached over
plain http. It reads `TAUTBOOK_DATA` and `PUBLIC_ORIGIN` as the launcher settled them.
"""

import os
from collections.abc import Callable, Iterable
from html import escape
from pathlib import Path
from string import Template
from wsgiref.types import StartResponse, WSGIEnvironment

from shopfloor import authority, places
from shopfloor.authority import phones

TEMPLATES = places.TEMPLATES / "landing"
HEADERS = [
    ("Cache-Control", "no-store"),
    ("X-Content-Type-Options", "nosniff"),
    ("X-Frame-Options", "DENY"),
    ("Referrer-Policy", "no-referrer"),
    (
        "Content-Security-Policy",
        "default-src 'none'; style-src 'self'; base-uri 'none'; form-action 'none'; "
        "frame-ancestors 'none'",
    ),
]


def application(environ: WSGIEnvironment, start_response: StartResponse) -> Iterable[bytes]:
    method, path = environ["REQUEST_METHOD"], environ.get("PATH_INFO", "/")
    found = PAGES.get(path) if method in ("GET", "HEAD") else None
    if found is None:
        kind, body, status = "text/plain; charset=utf-8", _lost().encode(), "404 Not Found"
    else:
        kind, make = found
        body, status = make(Path(os.environ["TAUTBOOK_DATA"])), "200 OK"
    start_response(status, [("Content-Type", kind), ("Content-Length", str(len(body))), *HEADERS])
    return [] if method == "HEAD" else [body]


def _page(data: Path) -> bytes:
    source = Template((TEMPLATES / "trust.html").read_text("utf-8"))
    name = phones.name_of(authority.certificate(data))
    origin = os.environ["PUBLIC_ORIGIN"]
    return source.substitute(origin=escape(origin), name=escape(name)).encode()


def _style(data: Path) -> bytes:
    return (TEMPLATES / "trust.css").read_bytes()


def _ios(data: Path) -> bytes:
    return phones.for_ios(authority.certificate(data))


def _android(data: Path) -> bytes:
    return phones.for_android(authority.certificate(data))


def _lost() -> str:
    return f"There is nothing here. Tautbook itself is at {os.environ['PUBLIC_ORIGIN']}\n"


PAGES: dict[str, tuple[str, Callable[[Path], bytes]]] = {
    "/": ("text/html; charset=utf-8", _page),
    "/trust.css": ("text/css; charset=utf-8", _style),
    "/tautbook.mobileconfig": ("application/x-apple-aspen-config", _ios),
    "/tautbook.crt": ("application/x-x509-ca-cert", _android),
}
