"""What a burst mesh puts at risk, and who could follow it."""

from datetime import datetime
from typing import Any

from frames import matching
from frames.models import Colour, Entry, ScreenState
from frames.wording import say as phrase
from shopfloor.office import say
from shopfloor.office.standing import Standing

MOST_FOLLOWERS = 3


def lost(stand: Standing) -> ScreenState | None:
    """The screen whose torn mesh is still on the frame."""
    if not stand.burst:
        return None
    return ScreenState.objects.filter(frame=stand.frame.pk).order_by("-fitted_at").first()


def followers(stand: Standing, now: datetime) -> list[dict[str, Any]]:
    """Who can take over, the best first: see `matching.after_burst`."""
    screen = lost(stand)
    found = matching.after_burst(screen, int(now.timestamp() * 1000)) if screen else []
    return found[:MOST_FOLLOWERS]


def told(stand: Standing, now: datetime) -> str:
    """The job at risk, how far it had come, who could follow."""
    screen = lost(stand)
    parts = [_job(screen) if screen else "", _next(followers(stand, now))]
    return " ".join(part for part in parts if part)


def _job(screen: ScreenState) -> str:
    colour = Colour.objects.select_related("job").filter(pk=screen.body["colour"]).first()
    if colour is None or colour.job.done:
        return ""
    of = Entry.objects.filter(frame_id=screen.frame, kind="burst").newest_first().first()
    made = of.raw["payload"].get("impressions") if of else None
    if made is None or colour.job.run is None:
        return phrase("Job {0}, {1} is at risk.", colour.job.number, colour.name)
    return phrase(
        "Job {0}, {1} is at risk: {2} of {3} printed.",
        colour.job.number,
        colour.name,
        say.count(made),
        say.count(colour.job.run),
    )


def _next(found: list[dict[str, Any]]) -> str:
    codes = ", ".join(one["code"] for one in found)
    return phrase("Could follow: {0}.", codes) if codes else ""
