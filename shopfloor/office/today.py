"""Today: what needs attention, and nothing else."""

from datetime import datetime

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from frames.models import Frame
from shopfloor import backup, ready
from shopfloor.auth import who_may
from shopfloor.office import attention
from shopfloor.office.shop import the_shop
from shopfloor.office.standing import standings


@who_may("screen room", "manager")
def today(request: HttpRequest) -> HttpResponse:
    now = timezone.now()
    context = {"now": now, "groups": groups(now), "backup": ready.backup_age(now)}
    context["backup_hours"] = settings.BACKUP_EVERY_HOURS
    saved = backup.last_good()
    context["saved_at"] = saved.at if saved else None
    context["saved_ahead"] = bool(saved and saved.at > now + ready.CLOCK_BEHIND)
    return render(request, "office/today.html", context)


def groups(now: datetime) -> list[attention.Group]:
    shop = the_shop()
    stands = standings(Frame.objects.in_use(), shop, now)
    found = [
        attention.burst(stands, now),
        attention.screens(stands, now),
        attention.jumps(stands, now),
        attention.doubted(stands, now),
        attention.jobs(stands, now),
        attention.tweaks(stands, now),
        attention.phones(now),
        attention.log(now),
    ]
    return [group for group in found if group.lines]
