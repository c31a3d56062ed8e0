"""What the forecast says of a screen, as the frame page tells it."""

from datetime import datetime
from typing import Any

from django.utils import timezone

from frames import charting
from shopfloor.office import say
from shopfloor.office.standing import Standing, moment

DATES = (
    ("resting_until", "Rests until"),
    ("coat_from", "Coat from"),
    ("in_tolerance_until", "In tolerance until"),
    ("retension_by", "Retension by"),
)


def facts(stand: Standing, now: datetime) -> list[tuple[str, str]]:
    """Label and value of every date that still lies ahead, with its band and its reason."""
    told = stand.forecast
    if not told:
        return []
    known = [(label, _date(told[name], now)) for name, label in DATES]
    known += [("Impressions left", _impressions(told["impressions_left"])), *_jumps(told)]
    return [(label, value) for label, value in known if value]


def departures(stand: Standing) -> list[dict[str, Any]]:
    """Checks of the screen as departures from what was forecast before each, newest first."""
    chart = charting.of_screen(stand.row.pk) if stand.row else None
    if not chart:
        return []
    rules: dict[str, list[str]] = {}
    for signal in chart["signals"]:
        rules.setdefault(signal["check"], []).append(signal["rule"])
    return [
        point | {"at": moment(point["at"]), "rules": rules.get(point["check"], [])}
        for point in reversed(chart["points"])
    ]


def _date(when: dict[str, Any], now: datetime) -> str:
    at = moment(when["at"])
    if at is None:
        return when["reason"] if when["early"] is None else f"{_between(when)}. {when['reason']}"
    if at <= now:
        return ""
    return f"about {_day(at)} ({_between(when)}). {when['reason']}"


def _between(when: dict[str, Any]) -> str:
    """Eight of ten lie in it."""
    early, late = moment(when["early"]), moment(when["late"])
    if early and late:
        return f"{_day(early)} to {_day(late)}"
    return f"not before {_day(early)}" if early else f"by {_day(late)}" if late else "not sure"


def _day(at: datetime) -> str:
    return timezone.localtime(at).strftime("%a %-d %b, %H:%M")


def _impressions(left: dict[str, Any]) -> str:
    if left["at"] is None:
        return left["reason"] if left["early"] is None else f"at least {say.count(left['early'])}"
    late = say.count(left["late"]) if left["late"] else "many more"
    return f"about {say.count(left['at'])} ({say.count(left['early'] or 0)} to {late})"


def _jumps(told: dict[str, Any]) -> list[tuple[str, str]]:
    return [("Jump", jump["message"]) for jump in told["jumps"]]
