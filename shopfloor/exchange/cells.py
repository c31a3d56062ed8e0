"""What one cell says, by the kind of its column; pure.

Each reader takes the typed text and its column's factor to the stored unit and gives the value;
CellProblem says what to write instead.
"""

import re
from collections.abc import Callable
from datetime import date

from frames.codes import parse_code
from frames.errors import CodeError
from frames.wording import say

VULGAR = {"⅛": 0.125, "¼": 0.25, "⅜": 0.375, "½": 0.5, "⅝": 0.625, "¾": 0.75, "⅞": 0.875}
NUMBER = re.compile(r"\d{1,12}(?:[.,]\d{0,15})?|[.,]\d{1,15}")
MIXED = re.compile(r"(?:(\d{1,9})[ -])?(\d{1,9})/(\d{1,9})")
MOST_DIGITS = 12
DATE = re.compile(r"(\d{4})-(\d{1,2})-(\d{1,2})(?:[T ]00:00(?::00)?)?")
DOTTED_DATE = re.compile(r"(\d{1,2})\.\s?(\d{1,2})\.\s?(\d{4})")
YES = {"yes", "y", "true", "1", "x"}
NO = {"no", "n", "false", "0", "-"}


class CellProblem(ValueError):
    """A cell that cannot be read; the message is the remedy."""


def text(typed: str, factor: float) -> str:
    return typed


def number(typed: str, factor: float) -> float:
    """21.5, 21,5, 21½ or 21 1/2; a thousands mark is never guessed."""
    read = _read_number(typed)
    if read is None:
        if len(re.findall(r"[.,]", typed)) > 1:
            raise CellProblem(say("Leave out the mark between thousands: write 1250.5 or 1250,5."))
        if sum(map(str.isdigit, typed)) > MOST_DIGITS:
            raise CellProblem(say("Write a shorter number, with at most {0} digits.", MOST_DIGITS))
        raise CellProblem(say("Write a number alone, like 22 or 21.5, without its unit."))
    return read if factor == 1 else round(read * factor, 3)


def _read_number(typed: str) -> float | None:
    tight = typed.strip().replace("−", "-")
    read = _unsigned(tight[1:] if tight[:1] in ("+", "-") else tight)
    if read is None:
        return None
    return -read if read and tight[0] == "-" else read


def _unsigned(tight: str) -> float | None:
    """The sign goes before the whole number, its fraction included: -1½ is less than -1."""
    part = VULGAR.get(tight[-1:], 0.0)
    tight = tight[:-1].strip() if part else tight
    if part and not tight:
        return part
    if mixed := MIXED.fullmatch(tight):
        whole, top, bottom = (int(found or 0) for found in mixed.groups())
        return whole + top / bottom + part if bottom else None
    return float(tight.replace(",", ".")) + part if NUMBER.fullmatch(tight) else None


def whole(typed: str, factor: float) -> int:
    if re.fullmatch(r"\d{1,12}(?:[.,]0{1,2})?", typed):
        return int(re.split(r"[.,]", typed)[0])
    raise CellProblem(say("Write a whole number in digits alone, like 1250."))


def places(typed: str, factor: float) -> list[float]:
    """Places along a side: 60 190 320, a space or semicolon between them."""
    if re.search(r",\d{3}(?!\d)|,\S*,", typed):
        raise CellProblem(say("Put a space between places, like 60 190 320."))
    parts = [part for part in re.split(r"[\s;]+", typed.replace(", ", " ")) if part]
    found = [_read_number(part) for part in parts]
    if not found or None in found:
        raise CellProblem(say("Write places from the side's first corner, like 60 190 320."))
    return [round(one * factor, 3) for one in found if one is not None]


def day(typed: str, factor: float) -> str:
    if match := DATE.fullmatch(typed):
        year, month, of = (int(part) for part in match.groups())
    elif match := DOTTED_DATE.fullmatch(typed):
        of, month, year = (int(part) for part in match.groups())
    else:
        raise CellProblem(say("Write the date as year-month-day, like 2026-12-03."))
    try:
        return date(year, month, of).isoformat()
    except ValueError:
        raise CellProblem(
            say("This day is not in the calendar. Write it like 2026-12-03.")
        ) from None


def yes_no(typed: str, factor: float) -> bool:
    said = typed.casefold()
    if said not in YES | NO:
        raise CellProblem(say("Write yes or no."))
    return said in YES


def frame_code(typed: str, factor: float) -> str:
    try:
        return str(parse_code(typed))
    except CodeError as error:
        raise CellProblem(error.remedy) from None


def plain(words: str) -> str:
    """Words as they are compared: case, hyphens and underscores do not count."""
    return re.sub(r"[\s_\-–]+", " ", words).strip().casefold()


READERS: dict[str, Callable[[str, float], object]] = {
    "text": text,
    "number": number,
    "whole": whole,
    "places": places,
    "date": day,
    "yes_no": yes_no,
    "code": frame_code,
}
