"""What is wrong with a phone, as far as the server can know."""

from collections.abc import Iterable
from datetime import datetime, timedelta
from uuid import UUID

from django.db.models import F

from frames.models import InstallState
from frames.wording import mark, say_many
from frames.wording import say as phrase
from shopfloor import auth
from shopfloor.models import Device
from shopfloor.office import say
from shopfloor.office.standing import moment

SILENT_AFTER = timedelta(days=2)
UNSENT_AFTER = timedelta(hours=2)
LOST_IS_NEWS_FOR = timedelta(days=14)
COPIED = mark(
    "Two phones write under its numbering: its storage was copied. Once both have "
    "sent, retire it and add both anew."
)


def troubles(devices: Iterable[Device], now: datetime) -> dict[UUID, list[str]]:
    """Sentences for each phone in use, none where all is well."""
    behind = list(InstallState.objects.filter(highest__gt=F("stored")))
    in_use = [device for device in devices if device.status == Device.Status.ACTIVE]
    twins = auth.copied(in_use, now)
    return {
        device.pk: [phrase(COPIED)] * (device.pk in twins)
        + trouble(device, missing(device, behind), now)
        for device in in_use
    }


def missing(device: Device, behind: list[InstallState]) -> int:
    """How many numbers of a phone never came, in this numbering and in older ones.

    A numbering that was brought in as a file stands under who brought it, so the phone's own
    install counts too.
    """
    own = str(device.last_seen.get("install_id"))
    mine = [b for b in behind if b.device == device.name_in_log or str(b.install_id) == own]
    return sum(install.missing for install in mine)


def trouble(device: Device, missing: int, now: datetime) -> list[str]:
    seen, found = device.last_seen, []
    contact, oldest = device.last_contact_at, moment(seen.get("oldest_at"))
    if contact is None or now - contact > SILENT_AFTER:
        found.append(phrase("Silent. Open Tautbook on it where it has reception."))
    if seen.get("unsent") and oldest and now - oldest > UNSENT_AFTER:
        since = say.ago(oldest, now)
        found.append(
            say_many(
                "{0} entry not sent, oldest {1}.",
                "{0} entries not sent, oldest {1}.",
                seen["unsent"],
                since,
            )
        )
    if missing:
        found.append(
            say_many(
                "{0} entry is missing in its numbering. Bring in its outbox as a file.",
                "{0} entries are missing in its numbering. Bring in its outbox as a file.",
                missing,
            )
        )
    began = moment(seen.get("started_at"))
    if seen.get("reason") == "numbering lost" and began and now - began < LOST_IS_NEWS_FOR:
        found.append(phrase("Its storage was emptied {0}. Ask what it held.", say.ago(began, now)))
    return found
