"""Writes calendars as text: iCalendar, RFC 5545."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta

OCTETS = 75
LASTS = timedelta(minutes=30)


@dataclass(frozen=True)
class Event:
    """`at` a moment, or a day for the whole of it; `uid` stays the same from one reading of the
    calendar to the next, so that a moved date moves its event."""

    uid: str
    at: datetime | date
    summary: str
    description: str = ""
    url: str = ""


def calendar(name: str, events: Iterable[Event], now: datetime) -> str:
    """A whole calendar, its lines folded and ended as the standard wants them."""
    lines = [
        "BEGIN:VCALENDAR",
        "VERSION:2.0",
        "PRODID:-//Tautbook//Dates//EN",
        "CALSCALE:GREGORIAN",
    ]
    lines.append(f"X-WR-CALNAME:{_text(name)}")
    for event in events:
        lines += _event(event, now)
    return "".join(_folded(line) for line in [*lines, "END:VCALENDAR"])


def _event(event: Event, now: datetime) -> Iterator[str]:
    yield "BEGIN:VEVENT"
    yield f"UID:{event.uid}"
    yield f"DTSTAMP:{_moment(now)}"
    if isinstance(event.at, datetime):
        yield f"DTSTART:{_moment(event.at)}"
        yield f"DTEND:{_moment(event.at + LASTS)}"
    else:
        yield f"DTSTART;VALUE=DATE:{event.at:%Y%m%d}"
        yield f"DTEND;VALUE=DATE:{event.at + timedelta(days=1):%Y%m%d}"
    yield f"SUMMARY:{_text(event.summary)}"
    if event.description:
        yield f"DESCRIPTION:{_text(event.description)}"
    if event.url:
        yield f"URL:{event.url}"
    yield "TRANSP:TRANSPARENT"
    yield "END:VEVENT"


def _moment(at: datetime) -> str:
    return at.astimezone(UTC).strftime("%Y%m%dT%H%M%SZ")


def _text(value: str) -> str:
    """Escaped as in 3.3.11."""
    for plain, escaped in (("\\", "\\\\"), (";", "\\;"), (",", "\\,"), ("\r\n", "\\n")):
        value = value.replace(plain, escaped)
    return value.replace("\n", "\\n").replace("\r", "\\n")


def _folded(line: str) -> str:
    """At most 75 octets a line, never cut inside a character; the next line begins with a space."""
    parts, part, size = [], "", 0
    for character in line:
        octets = len(character.encode())
        if size + octets > OCTETS:
            parts.append(part)
            part, size = " ", 1
        part, size = part + character, size + octets
    return "\r\n".join([*parts, part]) + "\r\n"
