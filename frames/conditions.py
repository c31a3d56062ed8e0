"""What a screen's last readings say about it now; computed when read, never stored."""

from math import floor
from typing import Any

from frames.effects import thousandth
from frames.times import milliseconds

Json = dict[str, Any]
HOUR_MS, DAY_MS = 3_600_000, 86_400_000
LOOK_AHEAD_DAYS = 7
SPOTS_FOR_UNEVEN = 5


def condition(screen: Json, shop: Json, now: int, forecast: Json | None = None) -> Json:
    """`{"word", "reason"}` of a screen's state at `now` (UTC milliseconds since 1970).

    `forecast` is the body of the feed's kind "forecast"; one that does not know the last check
    counts for nothing.
    """
    check = screen["last_check"]
    if check is None:
        return _said("unknown", "There is no tension check yet.")
    days = shop["recent_days"]
    if now - milliseconds(check["at"]) > days * DAY_MS:
        return _said("unknown", f"The last tension check is more than {_days(days)} old.")
    said = _by_readings(check, screen, shop["spread_limit_n_per_cm"])
    if said["word"] != "holding" or not forecast or not knows(forecast, check):
        return said
    return _by_forecast(forecast, shop.get("look_ahead_days", LOOK_AHEAD_DAYS), now) or said


def knows(forecast: Json, check: Json) -> bool:
    """Whether a forecast was made with the last check, or with turns after it."""
    if forecast["after"] is None:
        return milliseconds(check["at"]) < milliseconds(forecast["turned_at"])
    return forecast["after"] == check["id"]


def _by_forecast(forecast: Json, look_ahead_days: int, now: int) -> Json | None:
    rest, leaves = forecast["resting_until"]["at"], forecast["in_tolerance_until"]["at"]
    if rest and now < milliseconds(rest):
        hours = -((now - milliseconds(rest)) // HOUR_MS)
        limit = shown(forecast["rest_limit_n_per_cm"])
        return _said(
            "resting", f"It still loses more than {limit} N/cm a day, for about {hours} h."
        )
    if leaves and milliseconds(leaves) <= now + look_ahead_days * DAY_MS:
        days = (milliseconds(leaves) - now) // DAY_MS
        soon = f"in about {_days(days)}" if days > 0 else "within a day"
        return _said("due", f"Forecast to leave its tolerance {soon}.")
    return None


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
