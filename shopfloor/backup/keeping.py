"""Names of backups, how many are kept, and the note of the last one that was proved good."""

import json
import re
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from django.conf import settings

from shopfloor.backup.archive import private

NOTE = "last-backup.json"
NAME = re.compile(r"tautbook-\d{8}-\d{6}(?:\.\d{3})?Z(?:-[a-z-]+)?\.backup")
BEFORE_UPGRADE = "before-upgrade"


@dataclass(frozen=True)
class LastGood:
    at: datetime
    file: str
    entries: int


def name(at: datetime, why: str = "") -> str:
    """`tautbook-20260131-015900.042Z.backup`: names sort by time whatever the zone.

    To the millisecond, so that two backups in one second do not ask for one name.
    """
    moment = f"{at.astimezone(UTC):%Y%m%d-%H%M%S}.{at.microsecond // 1000:03}"
    return f"tautbook-{moment}Z{f'-{why}' if why else ''}.backup"


def newest(folder: Path, now: datetime) -> datetime | None:
    """When the newest backup in a folder was made, by its name.

    A name that is yet to come was given while the clock was ahead: it says nothing of when.
    """
    return max((at for at, _ in _made(folder) if at <= now), default=None)


def prune(folder: Path, keep: int, newest: Path, now: datetime) -> list[Path]:
    """Remove the oldest of our own files past `keep`; never `newest`, the one just proved good.

    What was made before an upgrade is counted by itself, so that nightly ones do not push it out.
    Names that are yet to come are neither counted nor removed.
    """
    ours = [path for at, path in sorted(_made(folder)) if at <= now]
    gone = []
    for upgrade in (False, True):
        alike = [path for path in ours if (BEFORE_UPGRADE in path.name) == upgrade]
        gone += [path for path in alike[: max(0, len(alike) - max(1, keep))] if path != newest]
    for path in gone:
        path.unlink(missing_ok=True)
    return gone


def _made(folder: Path) -> Iterator[tuple[datetime, Path]]:
    """Our own files in a folder, each with the second that its name tells."""
    for path in folder.glob("tautbook-*"):
        if NAME.fullmatch(path.name):
            # digits that are no date were not written by us
            with suppress(ValueError):
                yield datetime.strptime(path.name[9:24], "%Y%m%d-%H%M%S").replace(tzinfo=UTC), path


def note(at: datetime, file: Path, entries: int) -> None:
    """Kept beside the database, not in it: a database put back must not tell of later backups."""
    path = settings.TAUTBOOK_DATA / NOTE
    draft = path.with_suffix(".part")
    with open(draft, "w", opener=private) as out:
        json.dump({"at": at.isoformat(), "file": str(file), "entries": entries}, out)
    draft.replace(path)


def last_good() -> LastGood | None:
    try:
        told = json.loads((settings.TAUTBOOK_DATA / NOTE).read_text("utf-8"))
        return LastGood(datetime.fromisoformat(told["at"]), told["file"], int(told["entries"]))
    except (OSError, ValueError, KeyError, TypeError):
        return None
