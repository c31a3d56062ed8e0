"""Reads calendars by the letter of RFC 5545, apart from the code that writes them."""

import re

LINE = re.compile(rb"[^\r\n]*\r\n")
Event = dict[str, str]


def unfolded(raw: bytes) -> list[str]:
    """Content lines. Every line ends in CRLF and has at most 75 octets before it (3.1)."""
    lines = LINE.findall(raw)
    assert b"".join(lines) == raw
    assert max(len(line) - 2 for line in lines) <= 75
    return raw.decode().replace("\r\n ", "").split("\r\n")[:-1]


def plain(value: str) -> str:
    """A text value as it was before escaping (3.3.11)."""
    return re.sub(r"\\(.)", lambda m: "\n" if m[1] in "nN" else m[1], value)


def events(raw: bytes) -> list[Event]:
    """Properties of each event by name, parameters beside the name."""
    lines = unfolded(raw)
    assert lines[:2] == ["BEGIN:VCALENDAR", "VERSION:2.0"]
    assert lines[-1] == "END:VCALENDAR"
    out: list[Event] = []
    for line in lines:
        name, value = line.split(":", 1)
        if line == "BEGIN:VEVENT":
            out.append({})
        elif out and line != "END:VEVENT" and line != "END:VCALENDAR":
            assert name not in out[-1]
            out[-1][name] = plain(value)
    return out
