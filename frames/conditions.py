"""What a screen's last readings say about it now; computed when read, never stored."""

from math import floor
from typing import Any

from frames.effects import thousandth
from frames.times import milliseconds

Json = dict[str, Any]
DAY_MS = 86_400_000
SPOTS_FOR_UNEVEN = 5


def condition(screen: Json, shop: Json, now: int) -> Json:
    """`{"word", "reason"}` of a screen's state at `now` (UTC milliseconds since 1970)."""
    check = screen["last_check"]
    if check is None:
        return _said("unknown", "There is no tension check yet.")
    days = shop["recent_days"]
    if now - milliseconds(check["at"]) > days * DAY_MS:
        return _said("unknown", f"The last tension check is more than {_days(days)} old.")
    return _by_readings(check, screen, shop["spread_limit_n_per_cm"])


def _by_readings(check: Json, screen: Json, spread_limit: float) -> Json:
    target, tolerance = screen["target_n_per_cm"], screen["tolerance_n_per_cm"]
    wanted = f"{shown(target)} ± {shown(tolerance)} N/cm"
    if check["low"] < thousandth(target - tolerance):
        return _said("low", f"The lowest spot reads {shown(check['low'])}; wanted is {wanted}.")
    if check["high"] > thousandth(target + tolerance):
        return _said("high", f"The highest spot reads {shown(check['high'])}; wanted is {wanted}.")
    if check["spread"] > spread_limit and len(check["spots"]) >= SPOTS_FOR_UNEVEN:
        spread, limit = shown(check["spread"]), shown(spread_limit)
        return _said("uneven", f"Spots differ by {spread} N/cm; the limit is {limit}.")
    return _said("holding", f"All spots read within {wanted}.")


def _said(word: str, reason: str) -> Json:
    return {"word": word, "reason": reason}


def _days(count: int) -> str:
    return "1 day" if count == 1 else f"{count} days"


def shown(value: float) -> str:
    """One decimal at most, halves up: 20.25 → `20.3`, 21.0 → `21`."""
    tenths = floor(value * 10 + 0.5) / 10
    return str(int(tenths)) if tenths == int(tenths) else str(tenths)
