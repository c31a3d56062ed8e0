"""What the forecast says of a screen, as the frame page tells it."""

from datetime import datetime, timedelta
from typing import Any

from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext_lazy as _

from frames import charting
from frames.wording import say as phrase
from shopfloor.office import say
from shopfloor.office.standing import Standing, moment

NEAR = timedelta(days=3)
DATES = (
    ("resting_until", _("Rests until")),
    ("coat_from", _("Coat from")),
    ("in_tolerance_until", _("In tolerance until")),
)


def facts(stand: Standing, now: datetime) -> list[tuple[str, str]]:
    """Label and value of every date that still lies ahead, with its band and its reason."""
    told = stand.forecast
    if not told:
        return []
    if stand.stencil != "bare":
        told = told | {"coat_from": {"at": None, "early": None, "late": None, "reason": ""}}
    known = [(label, _date(told[name], now)) for name, label in DATES]
    known += [(phrase("Retension by"), _retension(told["retension_by"], now))]
    known += [(phrase("Impressions left"), _impressions(told["impressions_left"])), *_jumps(told)]
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
    at, early = moment(when["at"]), moment(when["early"])
    if at is None:
        sure = phrase("surely until {0}.", _day(early, now)) if early and early > now else ""
        return f"{sure} {when['reason']}".strip()
    if at <= now:
        return ""
    band = _band(early, moment(when["late"]), now)
    return f"{phrase('about {0}', _day(at, now))}{band}. {when['reason']}"


def _band(early: datetime | None, late: datetime | None, now: datetime) -> str:
    """Eight of ten lie in it."""
    ends = [_day(end, now) for end in (early if early and early > now else None, late) if end]
    return f" ({phrase('{0} to {1}', *ends)})" if len(ends) == 2 else ""


def _retension(when: dict[str, Any], now: datetime) -> str:
    at = moment(when["at"])
    if at is None:
        return ""
    return f"{_day(at, now) if at > now else phrase('now')}. {when['reason']}"


def _day(at: datetime, now: datetime) -> str:
    """The hour where it is near, the year where it is another one."""
    local = timezone.localtime(at)
    if abs(at - now) < NEAR:
        return date_format(local, phrase("D j M, H:i"))
    same = local.year == timezone.localtime(now).year
    return say.day(local.date()) if same else say.calendar_day(local.date())


def _impressions(left: dict[str, Any]) -> str:
    if left["at"] is None:
        return phrase("surely {0}", say.count(left["early"])) if left["early"] else ""
    late = say.count(left["late"]) if left["late"] else phrase("many more")
    return phrase(
        "about {0} ({1} to {2})", say.count(left["at"]), say.count(left["early"] or 0), late
    )


def _jumps(told: dict[str, Any]) -> list[tuple[str, str]]:
    doubted = [one for one in told["doubted"] if one["check"] == told["after"]]
    return [
        *((phrase("Jump"), jump["message"]) for jump in told["jumps"]),
        *((phrase("Meter out"), one["message"]) for one in doubted),
    ]
