"""What a screen's last readings say about it now; computed when read, never stored."""

from math import floor
from typing import Any

from frames.effects import thousandth
from frames.times import reckoned_ms
from frames.wording import say, say_many, written

Json = dict[str, Any]
HOUR_MS, DAY_MS = 3_600_000, 86_400_000
LOOK_AHEAD_DAYS = 7
SPOTS_FOR_UNEVEN = 5
THIRD = 1 / 3


def condition(screen: Json, shop: Json, now: int, forecast: Json | None = None) -> Json:
    """`{"word", "reason"}` of a screen's state at `now` (UTC milliseconds since 1970).

    `forecast` is the body of the feed's kind "forecast"; one that does not know the last check
    counts for nothing.
    """
    check = screen["last_check"]
    if check is None:
        return _said("unknown", say("There is no tension check yet."))
    days = shop["recent_days"]
    if now - reckoned_ms(check["at"]) > days * DAY_MS:
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
        return reckoned_ms(check["at"]) < reckoned_ms(forecast["turned_at"])
    return forecast["after"] == check["id"]


def _by_forecast(forecast: Json, look_ahead_days: int, now: int) -> Json | None:
    rest, leaves = forecast["resting_until"]["at"], forecast["in_tolerance_until"]["at"]
    if rest and now < reckoned_ms(rest):
        hours = -((now - reckoned_ms(rest)) // HOUR_MS)
        limit = shown(forecast["rest_limit_n_per_cm"])
        return _said(
            "resting",
            say("It still loses more than {0} N/cm a day, for about {1} h.", limit, hours),
        )
    if leaves and reckoned_ms(leaves) <= now + look_ahead_days * DAY_MS:
        days = (reckoned_ms(leaves) - now) // DAY_MS
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
    spots = check["spots"]
    if check["low"] < thousandth(target - tolerance):
        spot = min(spots, key=_mean)
        where, value = _where(spots, spot), _read(spot, check["low"])
        if where:
            return _said("low", say("Lowest {0}: {1}; wanted is {2}.", where, value, wanted))
        return _said("low", say("The lowest spot reads {0}; wanted is {1}.", value, wanted))
    if check["high"] > thousandth(target + tolerance):
        spot = max(spots, key=_mean)
        where, value = _where(spots, spot), _read(spot, check["high"])
        if where:
            return _said("high", say("Highest {0}: {1}; wanted is {2}.", where, value, wanted))
        return _said("high", say("The highest spot reads {0}; wanted is {1}.", value, wanted))
    if check["spread"] > spread_limit and len(check["spots"]) >= SPOTS_FOR_UNEVEN:
        spread, limit = shown(check["spread"]), shown(spread_limit)
        return _said("uneven", say("Spots differ by {0} N/cm; the limit is {1}.", spread, limit))
    return _said("holding", say("All spots read within {0}.", wanted))


def _readings(spot: Json) -> list[float]:
    both = (spot["along_a_n_per_cm"], spot["across_a_n_per_cm"])
    return [one for one in both if one is not None]


def _mean(spot: Json) -> float:
    readings = _readings(spot)
    return sum(readings) / len(readings)


def _read(spot: Json, mean: float) -> str:
    """What a spot read; no cell of the drawing shows a mean, so one is called so."""
    value = shown(mean)
    return say("{0} (mean of both ways)", value) if len(set(_readings(spot))) > 1 else value


def _where(spots: list[Json], spot: Json) -> str:
    """Which of several spots, by the sides next to it: they are the same for every reader."""
    if len(spots) == 1:
        return ""
    along = "A" if spot["v"] < THIRD else "C" if spot["v"] > 1 - THIRD else ""
    across = "D" if spot["u"] < THIRD else "B" if spot["u"] > 1 - THIRD else ""
    if along and across:
        return say("by {0} and {1}", along, across)
    return say("by {0}", along or across) if along or across else say("in the middle")


def _said(word: str, reason: str) -> Json:
    return {"word": word, "reason": reason}


def shown(value: float) -> str:
    """One decimal at most, halves up and as meters show them: 20.25 → `20.3`, 21.5 → `21½`."""
    tenths = floor(value * 10 + 0.5) / 10
    whole = int(tenths)
    if tenths - whole == 0.5:
        return f"{whole or ''}½"
    return str(whole) if tenths == whole else written(tenths)
