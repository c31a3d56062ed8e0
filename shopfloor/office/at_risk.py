"""What a burst mesh puts at risk, and who could follow it."""

from collections.abc import Collection
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db.models import OuterRef, Subquery

from frames import matching
from frames.entries import is_known
from frames.models import Colour, Entry, FrameState, ScreenState
from frames.wording import say as phrase
from shopfloor.office import say
from shopfloor.office.standing import Standing

MOST_FOLLOWERS = 3


def lost(stands: list[Standing]) -> dict[UUID, ScreenState]:
    """The screens whose torn meshes are still on, by frame."""
    torn = [stand.frame.pk for stand in stands if stand.burst]
    of_frame = ScreenState.objects.filter(frame=OuterRef("frame")).order_by("-fitted_at")
    last = FrameState.objects.filter(frame__in=torn).values_list(
        Subquery(of_frame.values("pk")[:1])
    )
    return {row.frame: row for row in ScreenState.objects.filter(pk__in=last)}


def followers(screens: Collection[ScreenState], now: datetime) -> dict[UUID, list[dict[str, Any]]]:
    """Who can take over from each, the best first: see `matching.after_bursts`."""
    found = matching.after_bursts(screens, int(now.timestamp() * 1000)) if screens else {}
    return {screen: best[:MOST_FOLLOWERS] for screen, best in found.items()}


def followers_of(stand: Standing, now: datetime) -> list[dict[str, Any]]:
    found = followers(lost([stand]).values(), now)
    return next(iter(found.values()), [])


def told(stands: list[Standing], now: datetime) -> dict[UUID, str]:
    """By frame: the job at risk, how far it had come, who could follow."""
    screens = lost(stands)
    at_risk, next_ = _jobs(screens.values()), followers(screens.values(), now)
    return {
        frame: " ".join(part for part in (at_risk.get(one.pk), _next(next_[one.pk])) if part)
        for frame, one in screens.items()
    }


def _jobs(screens: Collection[ScreenState]) -> dict[UUID, str]:
    """What of an open job is at risk, by screen."""
    carried = {one: UUID(id) for one in screens if (id := one.body["colour"])}
    colours = Colour.objects.select_related("job").in_bulk(set(carried.values()))
    ends = Entry.objects.filter(frame_id__in=[one.frame for one in carried], kind="burst")
    made = {
        end.frame_id: end.raw["payload"].get("impressions")
        for end in ends.in_order()
        if is_known(end.raw)
    }
    return {
        one.pk: _job(colours[colour], made.get(one.frame))
        for one, colour in carried.items()
        if colour in colours and not colours[colour].job.done
    }


def _job(colour: Colour, made: int | None) -> str:
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
