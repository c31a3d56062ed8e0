"""What a screen's last readings say about it now; computed when read, never stored."""

from math import floor
from typing import Any

from frames.effects import thousandth
from frames.times import milliseconds
from frames.wording import say, say_many, written

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
        return _said("unknown", say("There is no tension check yet."))
    days = shop["recent_days"]
    if now - milliseconds(check["at"]) > days * DAY_MS:
        old = say_many(
            "The last tension check is more than {0} day old.",
            "The last tension check is more than {0} days old.",
            days,
        )
        return _said("unknown", old)
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
            "resting",
            say("It still loses more than {0} N/cm a day, for about {1} h.", limit, hours),
        )
    if leaves and milliseconds(leaves) <= now + look_ahead_days * DAY_MS:
        days = (milliseconds(leaves) - now) // DAY_MS
        soon = say("Forecast to leave its tolerance within a day.")
        if days > 0:
            soon = say_many(
                "Forecast to leave its tolerance in about {0} day.",
                "Forecast to leave its tolerance in about {0} days.",
                days,
            )
        return _said("due", soon)
    return None


def _by_readings(check: Json, screen: Json, spread_limit: float) -> Json:
    target, tolerance = screen["target_n_per_cm"], screen["tolerance_n_per_cm"]
    wanted = say("{0} ± {1} N/cm", shown(target), shown(tolerance))
    if check["low"] < thousandth(target - tolerance):
        return _said(
            "low", say("The lowest spot reads {0}; wanted is {1}.", shown(check["low"]), wanted)
        )
    if check["high"] > thousandth(target + tolerance):
        return _said(
            "high", say("The highest spot reads {0}; wanted is {1}.", shown(check["high"]), wanted)
        )
    if check["spread"] > spread_limit and len(check["spots"]) >= SPOTS_FOR_UNEVEN:
        spread, limit = shown(check["spread"]), shown(spread_limit)
        return _said("uneven", say("Spots differ by {0} N/cm; the limit is {1}.", spread, limit))
    return _said("holding", say("All spots read within {0}.", wanted))


def _said(word: str, reason: str) -> Json:
    return {"word": word, "reason": reason}


def shown(value: float) -> str:
    """One decimal at most, halves up: 20.25 → `20.3`, 21.0 → `21`."""
    tenths = floor(value * 10 + 0.5) / 10
    return str(int(tenths)) if tenths == int(tenths) else written(tenths)
