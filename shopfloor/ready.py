"""Whether this server can do its work now, check by check, for whoever watches over it."""

import shutil
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import cache

from django.conf import settings
from django.db import DatabaseError, connection
from django.db.migrations.executor import MigrationExecutor
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.utils import timezone
from django.views.decorators.cache import cache_control
from django.views.decorators.http import require_safe

from frames import feed
from frames.models import Entry
from shopfloor import backup
from shopfloor.auth import who_may

LEAST_FREE_MB = 200
CLOCK_BEHIND = timedelta(minutes=2)
# One night may fail before anybody needs to know.
NIGHTS = 2


@dataclass(frozen=True)
class Check:
    """`needed`: without it the server cannot do its work; otherwise it is worth knowing."""

    name: str
    ok: bool
    says: str
    needed: bool = True


@who_may("anybody")
@require_safe
@cache_control(no_store=True)
def ready(request: HttpRequest) -> HttpResponse:
    found = list(checks(timezone.now()))
    fine = all(check.ok for check in found if check.needed)
    body = {
        "status": "ready" if fine else "not ready",
        "checks": {check.name: {"ok": check.ok, "says": check.says} for check in found},
    }
    return JsonResponse(body, status=200 if fine else 503)


def checks(now: datetime) -> Iterator[Check]:
    try:
        feed.head()
        yield Check("database", True, "It answers.")
        yield migrations()
        yield clock(now)
    except DatabaseError:
        yield Check("database", False, "It does not answer: is it there, and is its disk full?")
    yield disk()
    yield backup_age(now)


def migrations() -> Check:
    if _are_done():
        return Check("migrations", True, "The database is as this version wants it.")
    return Check("migrations", False, "The database is older: stop, then use 'start'.")


def _are_done() -> bool:
    """Looked at until it is so; a running server's database never goes back by itself."""
    if not _pending():
        return True
    _pending.cache_clear()
    return False


@cache
def _pending() -> bool:
    executor = MigrationExecutor(connection)
    return bool(executor.migration_plan(executor.loader.graph.leaf_nodes()))


def clock(now: datetime) -> Check:
    """A machine whose battery is empty wakes up in another year."""
    newest = Entry.objects.order_by("-seq").values_list("received_at", flat=True).first()
    if newest and now < newest - CLOCK_BEHIND:
        told = f"{newest:%d %B %Y %H:%M}"
        return Check("clock", False, f"It stands before the newest entry, of {told}: set it.")
    return Check("clock", True, f"{now.isoformat(timespec='seconds')}")


def disk() -> Check:
    free = shutil.disk_usage(settings.TAUTBOOK_DATA).free // 1_000_000
    if free < LEAST_FREE_MB:
        return Check("disk", False, f"{free} MB are free: make room, at least {LEAST_FREE_MB} MB.")
    return Check("disk", True, f"{free} MB are free.")


def backup_age(now: datetime) -> Check:
    last = backup.last_good()
    if last is None:
        return Check("backup", False, "None was made yet.", needed=False)
    told = last.at.isoformat(timespec="seconds")
    if last.at > now + CLOCK_BEHIND:
        says = f"The last good one is of {told}, which is yet to come: set the clock, then back up."
        return Check("backup", False, says, needed=False)
    old = now - last.at > NIGHTS * timedelta(hours=settings.BACKUP_EVERY_HOURS or 24)
    return Check("backup", not old, f"The last good one is of {told}.", needed=False)
