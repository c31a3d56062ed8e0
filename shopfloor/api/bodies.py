"""Reads request bodies: JSON, packed with gzip or not, never more than a phone may send."""

import json
import zlib
from typing import Any, NoReturn

from django.http import HttpRequest
from ninja.parser import Parser

from frames.wording import mark, say
from shopfloor import caps
from shopfloor.api.problems import too_large, unreadable

LARGEST = caps.LARGEST_PUSH
GZIP = 16 + zlib.MAX_WBITS
TOO_LARGE = mark("A request may hold 256 KB. Send fewer entries at once.")


def check_length(request: HttpRequest) -> None:
    """Looked at before the body is read: nobody fills the memory of the server."""
    length = request.META.get("CONTENT_LENGTH") or "0"
    if not length.isdigit():
        raise unreadable(say("Content-Length is {0}, which is not a number.", repr(length[:20])))
    if int(length) > LARGEST:
        raise too_large(say(TOO_LARGE))


class Body(Parser):
    def parse_body(self, request: HttpRequest) -> Any:
        packing = request.headers.get("Content-Encoding", "identity").lower()
        if packing not in {"identity", "gzip"}:
            raise unreadable(
                say("Content-Encoding is {0}. Send gzip or plain JSON.", repr(packing[:20]))
            )
        raw = request.body
        return parse(inflate(raw) if packing == "gzip" else raw)


def inflate(packed: bytes) -> bytes:
    """Unpacks gzip, stopping at the limit: a few bytes can claim to be gigabytes."""
    unpacker = zlib.decompressobj(GZIP)
    try:
        plain = unpacker.decompress(packed, LARGEST + 1)
    except zlib.error as error:
        raise unreadable(say("The body says it is gzip and is not. Send it again.")) from error
    if len(plain) > LARGEST:
        raise too_large(say(TOO_LARGE))
    if not unpacker.eof:
        raise unreadable(say("The body was cut off on the way. Send it again."))
    if unpacker.unused_data:
        raise unreadable(say("Something follows the gzip body. Send one gzip stream alone."))
    return plain


def parse(raw: bytes) -> Any:
    try:
        body = json.loads(raw.decode(), parse_constant=_no_number)
    except UnicodeDecodeError as error:
        raise unreadable(say("The body is not UTF-8. Send JSON in UTF-8.")) from error
    except RecursionError as error:
        raise unreadable(say("The body is nested too deep to be read.")) from error
    except json.JSONDecodeError as error:
        where = say("line {0}, column {1}", error.lineno, error.colno)
        raise unreadable(say("The body is not JSON from {0} on.", where)) from error
    except ValueError as error:
        raise unreadable(say("The body holds a number too long to be read.")) from error
    if not isinstance(body, dict):
        raise unreadable(say("The body is no JSON object. Send named fields."))
    return body


def _no_number(constant: str) -> NoReturn:
    raise unreadable(say("The body holds {0}, which is no number in JSON.", constant))
