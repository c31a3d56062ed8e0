"""What stands in the calendar: read from forecasts and jobs as they are now."""

from collections.abc import Iterator
from datetime import datetime, timedelta

from django.utils import timezone

from frames.models import Derived, Frame, Job, Mesh, ScreenState
from frames.times import moment, reckoned_ms
from frames.wording import say
from shopfloor.dates.ical import Event

HORIZON = timedelta(days=90)


def events(now: datetime, office: str) -> list[Event]:
    """Every date of the next weeks; `office` is the address that the office's pages begin with."""
    return [*_of_screens(now, office), *_of_jobs(now, office)]


def _of_screens(now: datetime, office: str) -> Iterator[Event]:
    screens = ScreenState.objects.live().in_bulk()
    frames = Frame.objects.in_use().in_bulk([row.frame for row in screens.values()])
    meshes = dict(Mesh.objects.values_list("pk", "name"))
    for row in Derived.objects.of_kind("forecast").order_by("pk"):
        screen = screens.get(row.screen)
        frame = frames.get(screen.frame) if screen else None
        if frame:
            about = f"{frame.code} ({meshes.get(screen.mesh, '')})"
            page = f"{office}frames/{frame.pk}/"
            yield from _of_screen(row, screen, about, page, now)


def _of_screen(
    row: Derived, screen: ScreenState, about: str, page: str, now: datetime
) -> Iterator[Event]:
    coat, due = row.body["coat_from"], row.body["retension_by"]
    at = _at(coat)
    if at and screen.stencil == "bare" and now < at:
        uid = f"coat-{row.screen}@tautbook"
        yield Event(uid, at, say("Coat {0}", about), coat["reason"], page)
    day = _at(due)
    if day and day < now + HORIZON:
        uid = f"retension-{row.screen}@tautbook"
        local = max(timezone.localdate(day), timezone.localdate(now))
        yield Event(uid, local, say("Retension {0} by today", about), due["reason"], page)


def _at(when: dict) -> datetime | None:
    return moment(reckoned_ms(when["at"])) if when["at"] else None


def _of_jobs(now: datetime, office: str) -> Iterator[Event]:
    """Open jobs with a due day."""
    for job in Job.objects.in_use().filter(done=False, due__gte=timezone.localdate(now)):
        colours = ", ".join(str(colour) for colour in job.colours.in_use())
        run = say("{0} sheets.", job.run) if job.run else ""
        page = f"{office}jobs/{job.pk}/"
        yield Event(
            f"job-{job.pk}@tautbook", job.due, say("Job {0}", job), f"{run} {colours}".strip(), page
        )
