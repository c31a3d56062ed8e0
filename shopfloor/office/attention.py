"""What needs attention, a group of lines for each sort of trouble."""

from dataclasses import dataclass, field
from datetime import datetime, timedelta

from django.db.models import Prefetch
from django.urls import reverse
from django.utils import timezone

from frames.models import Colour, Entry, Job, Refused
from frames.wording import say as phrase
from frames.wording import say_many
from shopfloor.models import Device
from shopfloor.office import at_risk, say
from shopfloor.office.phone_health import troubles
from shopfloor.office.readiness import READY, screen_of
from shopfloor.office.standing import Standing, moment

WORST_FIRST = ("low", "high", "uneven", "due", "unknown")
DUE_SOON = timedelta(days=3)
LOOK_BACK = timedelta(days=30)


@dataclass(frozen=True)
class Line:
    name: str
    href: str
    why: str
    when: str = ""
    condition: dict | None = None


@dataclass(frozen=True)
class Group:
    title: str
    key: str
    lines: list[Line] = field(default_factory=list)
    of: int | None = None

    @property
    def count(self) -> int:
        """How many of what the title names; a line may stand for several."""
        return len(self.lines) if self.of is None else self.of


def frame_line(stand: Standing, why: str, when: str = "", condition: dict | None = None) -> Line:
    href = reverse("office:frame", args=[stand.frame.pk])
    return Line(stand.frame.code, href, why, when, condition)


def burst(stands: list[Standing], now: datetime) -> Group:
    told = at_risk.told(stands, now)
    lines = [
        frame_line(
            s,
            f"{told.get(s.frame.pk, '')} {phrase('Take the mesh off. {0}', s.place)}".strip(),
            say.ago(s.last_at, now),
        )
        for s in stands
        if s.burst
    ]
    return Group(phrase("Burst"), "burst", lines)


def screens(stands: list[Standing], now: datetime) -> Group:
    """Out of tolerance, soon to be, or not known, while on press or exposed for an open job."""
    named = dict.fromkeys(s.screen["job"] for s in stands if s.screen and s.screen["job"])
    open_jobs = Job.objects.in_use().filter(pk__in=named, done=False)
    jobs = {str(pk): number for pk, number in open_jobs.values_list("pk", "number")}
    lines = []
    for word in WORST_FIRST:
        for stand in stands:
            if stand.condition["word"] == word:
                used = use_of(stand, jobs)
                if used:
                    why = f"{used}. {stand.condition['reason']}"
                    when = say.ago(stand.check_at, now) if stand.check else ""
                    lines.append(frame_line(stand, why, when, stand.condition))
    return Group(phrase("Screens in use that do not hold"), "screens", lines)


def jumps(stands: list[Standing], now: datetime) -> Group:
    """Last checks that relaxation cannot explain: read again, or look at lock, meter and frame."""
    lines = []
    for stand in stands:
        for jump in stand.forecast["jumps"] if stand.forecast else ():
            if jump["check"] == stand.check["id"]:
                lines.append(frame_line(stand, jump["message"], say.ago(stand.check_at, now)))
    return Group(phrase("Tension jumped"), "jumps", lines)


def doubted(stands: list[Standing], now: datetime) -> Group:
    """Last checks by a meter that the next zero check found out."""
    lines = []
    for stand in stands:
        for one in stand.forecast["doubted"] if stand.forecast else ():
            if one["check"] == stand.check["id"]:
                lines.append(frame_line(stand, one["message"], say.ago(stand.check_at, now)))
    return Group(phrase("Read with a meter that was out"), "doubted", lines)


def use_of(stand: Standing, open_jobs: dict[str, str]) -> str:
    job = open_jobs.get(stand.screen["job"]) if stand.screen else None
    used = [stand.place if stand.on_press else "", phrase("job {0}", job) if job else ""]
    text = ", ".join(part for part in used if part)
    return text[:1].upper() + text[1:]


def jobs(stands: list[Standing], now: datetime) -> Group:
    """Due soon or late, and a colour cannot be printed yet."""
    soon = timezone.localdate(now) + DUE_SOON
    due = Job.objects.in_use().filter(done=False, due__lte=soon)
    colours = Prefetch("colours", Colour.objects.in_use())
    lines = []
    for job in due.prefetch_related(colours):
        missing = [(c, why) for c in job.colours.all() if (why := screen_of(c, stands)[1]) != READY]
        if missing:
            why = " ".join(f"{colour.name}: {reason.rstrip('.')}." for colour, reason in missing)
            when = phrase("due {0}", say.day(job.due))
            lines.append(
                Line(phrase("Job {0}", job.number), reverse("office:job", args=[job.pk]), why, when)
            )
    return Group(phrase("Jobs due and not ready"), "jobs", lines)


def tweaks(stands: list[Standing], now: datetime) -> Group:
    """Bolts were turned on press and nobody has said yet what it did."""
    lines, every = [], 0
    for stand in stands:
        waiting = stand.screen["tweaks"] if stand.screen else {"open": []}
        if waiting["open"]:
            count = len(waiting["open"])
            every += count
            last = moment(waiting["last"]["at"]) if waiting["last"] else None
            why = say_many("{0} tweak without after marks", "{0} tweaks without after marks", count)
            lines.append(frame_line(stand, why, say.ago(last, now)))
    return Group(phrase("Tweaks without after marks"), "tweaks", lines, every)


def phones(now: datetime) -> Group:
    devices = list(Device.objects.in_use())
    found = troubles(devices, now)
    lines = [
        Line(
            device.label,
            reverse("office:phones"),
            " ".join(map(str, found[device.pk])),
            say.ago(device.last_contact_at, now),
        )
        for device in devices
        if found[device.pk]
    ]
    return Group(phrase("Phones"), "phones", lines)


def log(now: datetime) -> Group:
    flagged = Entry.objects.flagged().filter(received_at__gt=now - LOOK_BACK).count()
    refused = Refused.objects.standing().count()
    lines = []
    if flagged:
        lines.append(
            Line(
                phrase("Flagged"),
                reverse("office:flagged"),
                say_many(
                    "{0} entry of the last 30 days to look at",
                    "{0} entries of the last 30 days to look at",
                    flagged,
                ),
            )
        )
    if refused:
        why = say_many(
            "{0} entry could not be taken; copies are kept",
            "{0} entries could not be taken; copies are kept",
            refused,
        )
        lines.append(Line(phrase("Refused"), reverse("office:refused"), why))
    return Group(phrase("Log"), "log", lines)
