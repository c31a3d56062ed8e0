"""Times as they travel: text with milliseconds and zone, counted in UTC milliseconds."""

import re
from datetime import UTC, datetime, timedelta

SHAPE = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}(Z|[+-]\d\d:\d\d)", re.ASCII)
EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
MILLISECOND = timedelta(milliseconds=1)


def milliseconds(time: str) -> int:
    """UTC milliseconds since 1970; ValueError if it is no such text, or not in 1970 to 2200."""
    if not SHAPE.fullmatch(time):
        raise ValueError("not a time with milliseconds and zone")
    if not 1970 <= datetime.fromisoformat(time).year <= 2200:
        raise ValueError("outside 1970 to 2200")
    return reckoned_ms(time)


def reckoned_ms(time: str) -> int:
    """The same of a time that was reckoned here: corrected by a clock that is off, or foretold, it
    may lie outside the years that an entry may name."""
    return (datetime.fromisoformat(time) - EPOCH) // MILLISECOND


def moment(at_ms: int) -> datetime:
    return EPOCH + timedelta(milliseconds=at_ms)


def utc_text(at_ms: int) -> str:
    """Milliseconds since 1970 → `2026-11-25T09:42:07.123Z`."""
    return moment(at_ms).strftime("%Y-%m-%dT%H:%M:%S.") + f"{at_ms % 1000:03d}Z"
