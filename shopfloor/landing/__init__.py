"""The plain-http page that hands the shop's certificate authority to phones, and only that.

A WSGI application of its own, without Django, so that nothing else can ever be reached over
plain http. It reads `TAUTBOOK_DATA` and `PUBLIC_ORIGIN` as the launcher settled them. A phone that
comes here for the first time is answered in its own language.
"""

import gettext
import os
import re
from collections.abc import Callable, Iterable
from html import escape
from pathlib import Path
from string import Template
from wsgiref.types import StartResponse, WSGIEnvironment

from frames.wording import mark
from shopfloor import authority, places
from shopfloor.authority import phones

TEMPLATES = places.TEMPLATES / "landing"
LANGUAGES = ("de", "en")
LOST = mark("There is nothing here. Tautbook itself is at {0}")
TRANSLATE = re.compile(r'{% translate "([^"]+)" %}')
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
        kind, make, status = "text/plain; charset=utf-8", _lost, "404 Not Found"
    else:
        (kind, make), status = found, "200 OK"
    spoken = _spoken(environ.get("HTTP_ACCEPT_LANGUAGE", ""))
    body = make(Path(os.environ["TAUTBOOK_DATA"]), spoken)
    start_response(status, [("Content-Type", kind), ("Content-Length", str(len(body))), *HEADERS])
    return [] if method == "HEAD" else [body]


def _spoken(wanted: str) -> str:
    """The first language of the list that there is here."""
    asked = (part.strip()[:2].lower() for part in wanted.split(","))
    return next((one for one in asked if one in LANGUAGES), "en")


def _say(spoken: str) -> Callable[[str], str]:
    return gettext.translation("django", places.LOCALE, [spoken], fallback=True).gettext


def _page(data: Path, spoken: str) -> bytes:
    say, written = _say(spoken), (TEMPLATES / "trust.html").read_text("utf-8")
    source = Template(TRANSLATE.sub(lambda found: say(found[1]), written))
    name = phones.name_of(authority.certificate(data))
    origin = os.environ["PUBLIC_ORIGIN"]
    return source.substitute(origin=escape(origin), name=escape(name), lang=spoken).encode()


def _style(data: Path, spoken: str) -> bytes:
    return (TEMPLATES / "trust.css").read_bytes()


def _ios(data: Path, spoken: str) -> bytes:
    return phones.for_ios(authority.certificate(data), _say(spoken)(phones.MEANT))


def _android(data: Path, spoken: str) -> bytes:
    return phones.for_android(authority.certificate(data))


def _lost(data: Path, spoken: str) -> bytes:
    text = _say(spoken)(LOST)
    return f"{text.format(os.environ['PUBLIC_ORIGIN'])}\n".encode()


PAGES: dict[str, tuple[str, Callable[[Path, str], bytes]]] = {
    "/": ("text/html; charset=utf-8", _page),
    "/trust.css": ("text/css; charset=utf-8", _style),
    "/tautbook.mobileconfig": ("application/x-apple-aspen-config", _ios),
    "/tautbook.crt": ("application/x-x509-ca-cert", _android),
}
