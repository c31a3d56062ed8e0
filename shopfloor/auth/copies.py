"""Phones whose storage somebody copied: two now write as one.

Both count on from the same number, so as soon as each has saved once, two entries claim one
number. Their entries are all kept, as ids differ; only the numbering no longer shows gaps.
"""

from collections import Counter
from collections.abc import Iterable
from datetime import datetime, timedelta
from uuid import UUID

from frames.models import Entry
from shopfloor.models import Device

NEWS_FOR = timedelta(days=30)


def copied(devices: Iterable[Device], now: datetime) -> set[UUID]:
    """Ids of the phones that share a numbering with another one."""
    devices = list(devices)
    installs = Counter(_install(device) for device in devices)
    doubled = _doubled(now)
    return {
        device.pk
        for device in devices
        if device.name_in_log in doubled or (_install(device) and installs[_install(device)] > 1)
    }


def _install(device: Device) -> str | None:
    return device.last_seen.get("install_id")


def _doubled(now: datetime) -> set[str]:
    """Devices, by their name in the log, that gave one number to two entries."""
    recent = Entry.objects.flagged().filter(received_at__gt=now - NEWS_FOR)
    return set(recent.filter(flags__icontains="number_reused").values_list("device", flat=True))
