"""Today: what needs attention, and nothing else."""

from datetime import datetime

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from frames.models import Frame
from shopfloor.auth import who_may
from shopfloor.office import attention
from shopfloor.office.shop import the_shop
from shopfloor.office.standing import standings


@who_may("screen room", "manager")
def today(request: HttpRequest) -> HttpResponse:
    now = timezone.now()
    return render(request, "office/today.html", {"now": now, "groups": groups(now)})


def groups(now: datetime) -> list[attention.Group]:
    shop = the_shop()
    stands = standings(Frame.objects.in_use(), shop, now)
    found = [
        attention.burst(stands, now),
        attention.screens(stands, now),
        attention.jobs(stands, now),
        attention.tweaks(stands, now),
        attention.phones(now),
        attention.log(now),
    ]
    return [group for group in found if group.lines]
