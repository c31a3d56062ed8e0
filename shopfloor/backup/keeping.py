"""Names of backups, how many are kept, and the note of the last one that was proved good."""

import json
import re
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from django.conf import settings

from shopfloor.backup.archive import private

NOTE = "last-backup.json"
NAME = re.compile(r"tautbook-\d{8}-\d{6}Z(?:-[a-z-]+)?\.backup")
BEFORE_UPGRADE = "before-upgrade"


@dataclass(frozen=True)
class LastGood:
    at: datetime
    file: str
    entries: int


def name(at: datetime, why: str = "") -> str:
    """`tautbook-20260131-015900Z.backup`: names sort by time whatever the zone."""
    return f"tautbook-{at.astimezone(UTC):%Y%m%d-%H%M%S}Z{f'-{why}' if why else ''}.backup"


def newest(folder: Path) -> datetime | None:
    """When the newest backup in a folder was made, by its name."""
    names = [path.name for path in folder.glob("tautbook-*") if NAME.fullmatch(path.name)]
    if not names:
        return None
    return datetime.strptime(max(names)[9:24], "%Y%m%d-%H%M%S").replace(tzinfo=UTC)


def prune(folder: Path, keep: int, newest: Path) -> list[Path]:
    """Remove the oldest of our own files past `keep`; never `newest`, the one just proved good.

    What was made before an upgrade is counted by itself, so that nightly ones do not push it out.
    """
    ours = sorted(path for path in folder.iterdir() if NAME.fullmatch(path.name))
    gone = []
    for upgrade in (False, True):
        alike = [path for path in ours if (BEFORE_UPGRADE in path.name) == upgrade]
        gone += [path for path in alike[: max(0, len(alike) - max(1, keep))] if path != newest]
    for path in gone:
        path.unlink(missing_ok=True)
    return gone


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
