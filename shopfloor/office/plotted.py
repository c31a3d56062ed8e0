"""What the plots of a frame show, each in one sentence, and the points of what comes."""

from datetime import datetime, timedelta
from typing import Any

from frames.wording import say as said
from shopfloor.office import say
from shopfloor.office.standing import Standing, moment
from shopfloor.office.tension import Reading

AHEAD = timedelta(days=33)  # the forecast has a point at thirty days


def ahead(stand: Standing, now: datetime) -> list[dict[str, Any]]:
    """{at, mean, low, high} N/cm until about a month from now without printing; empty without a
    fitting forecast."""
    curve = stand.forecast["curve"] if stand.forecast else []
    points = [point | {"at": moment(point["at"])} for point in curve]
    last = max([now, *(point["at"] for point in points[:1])]) + AHEAD
    return [point for point in points if point["at"] <= last]


def ahead_said(points: list[dict[str, Any]]) -> str:
    if not points:
        return ""
    end = points[-1]
    low, mean, high = (say.number(end[name]) for name in ("low", "mean", "high"))
    return said(
        "About {0} N/cm on {1} without printing; eight of ten checks lie between {2} and {3}.",
        mean,
        say.day(end["at"]),
        low,
        high,
    )


def tension_said(read: list[Reading]) -> str:
    if len(read) < 2:
        return ""
    first, last = read[0], read[-1]
    inside = last.floor <= last.low and last.high <= last.ceiling
    words = (say.number(first.mean), say.number(last.mean))
    if inside:
        return said(
            "Mean {0} N/cm at first, {1} last; every spot is within what is wanted.", *words
        )
    return said(
        "Mean {0} N/cm at first, {1} last; not every spot is within what is wanted.", *words
    )


def departures_said(points: list[dict[str, Any]]) -> str:
    spoke = [point for point in points if point["rules"]]
    if not spoke:
        return said("None of the {0} checks departs more than relaxation explains.", len(points))
    return said(
        "A run rule spoke at {0} of {1} checks, last on {2}.",
        len(spoke),
        len(points),
        say.day(spoke[0]["at"]),
    )


def context(
    stand: Standing, now: datetime, read: list[Reading], departures: list[dict[str, Any]]
) -> dict:
    """What the pages of a frame put above its plots."""
    points = ahead(stand, now)
    return {
        "ahead": points,
        "ahead_said": ahead_said(points),
        "tension_said": tension_said(read),
        "departures_said": departures_said(departures),
    }
