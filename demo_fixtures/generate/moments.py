"""Moments told from the day on which the demo is loaded, so that the shop never looks old.

A moment is a number of minutes: below 0 on earlier days (-1440 is midnight of the day before),
from 0 to `NOW` on the day itself, which is told backwards from the moment of loading.
"""

from typing import Any

DAY = 1440
NOW = 900


def on(days_ago: int, time: str) -> float:
    """`on(12, "08:41")`."""
    hours, minutes = time.split(":")
    return -DAY * days_ago + 60 * int(hours) + int(minutes)


def ago(minutes: float) -> float:
    """So many minutes before the demo is loaded, at most a few hours."""
    return NOW - minutes


def told(moment: float) -> dict[str, Any]:
    if moment >= 0:
        return {"minutes_ago": round(NOW - moment, 3)}
    days_ago, minutes = -int(moment // DAY), moment % DAY
    ms = round(minutes * 60_000)
    clock = f"{ms // 3_600_000:02d}:{ms // 60_000 % 60:02d}:{ms // 1000 % 60:02d}.{ms % 1000:03d}"
    return {"days_ago": days_ago, "time": clock}
