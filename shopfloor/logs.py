"""What the server writes about its work: one line per event, and nothing about people.

Only our own words are written in full. Of other libraries the bare template is, since its
arguments may be what somebody typed, and where the text came without arguments, what was typed may
stand in it already (`READY_MADE`); of an error its type and where it arose, never its text; of a
request the pattern of its address, never the address.
"""

import json
import logging
import time
import traceback
from collections.abc import Callable
from datetime import UTC, datetime
from typing import Any

from django.conf import settings
from django.http import HttpRequest, HttpResponse

from shopfloor.trouble import is_trouble

OURS = ("shopfloor", "frames")
REQUEST = ("method", "route", "status", "ms")
# templates that say nothing without their arguments
BARE = {"%s: %s": "a request failed"}
# Django hands over the finished text of what it finds suspicious, with the Host header in it; which
# of its rules it was is the name of the logger and of the error.
READY_MADE = {"django.security": "a request was refused"}

logger = logging.getLogger(__name__)


def told(record: logging.LogRecord) -> dict[str, Any]:
    """The fields of one line."""
    line: dict[str, Any] = {
        "at": datetime.fromtimestamp(record.created, UTC).isoformat(timespec="milliseconds"),
        "level": record.levelname,
        "logger": record.name,
        "message": _message(record),
    }
    line |= {name: getattr(record, name) for name in REQUEST if hasattr(record, name)}
    if record.exc_info and record.exc_info[1]:
        line |= _error(record.exc_info[1])
    return line


def _message(record: logging.LogRecord) -> str:
    if record.name.split(".")[0] in OURS:
        return record.getMessage()
    for library, instead in READY_MADE.items():
        if record.name.startswith(library) and not record.args:
            return instead
    return BARE.get(str(record.msg), str(record.msg))


def _error(error: BaseException) -> dict[str, Any]:
    steps = traceback.extract_tb(error.__traceback__)
    place = [f"{_short(step.filename)}:{step.lineno} {step.name}" for step in steps]
    line = {"error": type(error).__name__, "where": place[-12:]}
    if is_trouble(error):
        # what the database says about itself: locked, full, away
        line["says"] = str(error).splitlines()[0]
    return line


def _short(filename: str) -> str:
    """The end of a path: the folders above it are the machine's business."""
    return "/".join(filename.replace("\\", "/").split("/")[-3:])


class JsonLines(logging.Formatter):
    def format(self, record: logging.LogRecord) -> str:
        return json.dumps(told(record), ensure_ascii=False)


class Plain(logging.Formatter):
    def format(self, record: logging.LogRecord) -> str:
        line = told(record)
        head = f"{line.pop('at')} {line.pop('level')} {line.pop('logger')}: {line.pop('message')}"
        return " ".join([head, *(f"{name}={value}" for name, value in line.items())])


class Seldom(logging.Filter):
    """Lets one record a minute pass: of what anybody may cause as often as he likes."""

    EVERY_S = 60
    told_at = -float(EVERY_S)

    def filter(self, record: logging.LogRecord) -> bool:
        now = time.monotonic()
        if now - self.told_at < self.EVERY_S:
            return False
        self.told_at = now
        return True


class Requests:
    """One line for each request that was answered."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        began = time.monotonic()
        response = self.get_response(request)
        about = {
            "method": request.method,
            "route": _route(request),
            "status": response.status_code,
            "ms": round((time.monotonic() - began) * 1000),
        }
        level = logging.ERROR if response.status_code >= 500 else logging.INFO
        logger.log(level, "answered", extra=about)
        return response


def _route(request: HttpRequest) -> str:
    if request.path_info.startswith(settings.STATIC_URL):
        return settings.STATIC_URL
    return request.resolver_match.route if request.resolver_match else "(no such address)"
