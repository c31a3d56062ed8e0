"""The set for a job: one screen per colour, all as nearly alike as the rack allows."""

from datetime import datetime, time
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone

from frames import matching
from frames.models import Job
from shopfloor.auth import who_may
from shopfloor.office.shop import the_shop

PRINT_AT = time(12)


@who_may("screen room", "manager")
def job_set(request: HttpRequest, job_id: UUID) -> HttpResponse:
    """What to print the job with on the day it is due, or now if that is past or not known."""
    job, now = get_object_or_404(Job, pk=job_id), timezone.now()
    day = print_day(job, now)
    limit = the_shop().set_spread_n_per_cm
    found = matching.for_job(job, int(day.timestamp() * 1000), limit)
    return render(request, "office/set.html", {"job": job, "day": day, "found": found})


def print_day(job: Job, now: datetime) -> datetime:
    """Noon of the due day."""
    if job.due is None:
        return now
    return max(timezone.make_aware(datetime.combine(job.due, PRINT_AT)), now)
