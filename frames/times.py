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
    moment = datetime.fromisoformat(time)
    if not 1970 <= moment.year <= 2200:
        raise ValueError("outside 1970 to 2200")
    return (moment - EPOCH) // MILLISECOND


def moment(at_ms: int) -> datetime:
    return EPOCH + timedelta(milliseconds=at_ms)


def utc_text(at_ms: int) -> str:
    """Milliseconds since 1970 → `2026-11-25T09:42:07.123Z`."""
    return moment(at_ms).strftime("%Y-%m-%dT%H:%M:%S.") + f"{at_ms % 1000:03d}Z"
