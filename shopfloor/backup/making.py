"""Makes a backup: copy, write, open again and compare; only then does it get its name."""

import os
import tempfile
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from django.conf import settings
from django.db import connection
from django.utils import timezone

from shopfloor import authority, places
from shopfloor.backup import archive, facts, keeping, postgresql, sqlite
from shopfloor.backup.errors import BackupError

SECRET = "secret_key"


@dataclass(frozen=True)
class Made:
    """A backup that was opened again and holds what was copied."""

    path: Path
    at: datetime
    entries: int
    sealed: bool
    has_authority: bool
    pruned: list[Path]


def kind() -> Any:
    """The module that copies this shop's kind of database."""
    return postgresql if connection.vendor == "postgresql" else sqlite


def make(
    to: Path,
    *,
    passphrase: str | None = None,
    keep: int | None = None,
    with_authority: bool | None = None,
    why: str = "",
) -> Made:
    """Save the shop to `to`, a folder (which gets a file named by the time) or a new file.

    The authority's signing key goes along only where the file is sealed, or on request.
    """
    at = timezone.now()
    path = to / keeping.name(at, why) if to.is_dir() or not to.suffix else to
    if with_authority is None:
        with_authority = bool(passphrase)
    try:
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        if path.exists():
            raise BackupError(f"{path} exists already: a backup never overwrites another file.")
        with tempfile.TemporaryDirectory(dir=path.parent, prefix=".tautbook-") as room:
            told, files = _collect(Path(room), at, with_authority)
            _write(path, Path(room), told, files, passphrase)
    except OSError as error:
        raise BackupError(f"{path} cannot be written: {error.strerror or error}.") from error
    entries = told["holds"]["log"]["entries"]
    keeping.note(at, path, entries)
    gone = keeping.prune(path.parent, keep, path, at) if keep else []
    return Made(
        path, at, entries, bool(passphrase), f"{authority.FOLDER}/authority.key" in files, gone
    )


def _collect(
    room: Path, at: datetime, with_authority: bool
) -> tuple[dict[str, Any], dict[str, Path]]:
    database = kind()
    copied = room / database.MEMBER
    holds = database.copy(copied)
    data = settings.TAUTBOOK_DATA
    files = {database.MEMBER: copied, SECRET: data / SECRET}
    if with_authority:
        found = sorted((data / authority.FOLDER).glob("authority.*"))
        files |= {f"{authority.FOLDER}/{one.name}": one for one in found}
    told = {
        "made_at": at.isoformat(timespec="seconds"),
        "origin": _origin(data),
        "database": connection.vendor,
        "holds": holds,
    }
    return told, {name: path for name, path in files.items() if path.exists()}


def _origin(data: Path) -> str:
    """The address that labels and phones know, as the shop was last started under it."""
    told = data / places.ORIGIN
    return told.read_text("utf-8") if told.exists() else settings.PUBLIC_ORIGIN


def _write(
    path: Path, room: Path, told: dict[str, Any], files: dict[str, Path], passphrase: str | None
) -> None:
    draft = room / "draft"
    with open(draft, "wb", opener=archive.private) as out:
        archive.write(out, told, files, passphrase)
        out.flush()
        os.fsync(out.fileno())
    opened = room / "opened"
    opened.mkdir(mode=0o700)
    check(draft, opened, passphrase)
    draft.rename(path)


def check(path: Path, room: Path, passphrase: str | None) -> dict[str, Any]:
    """Unpack a backup into an empty folder and count it again; its manifest."""
    manifest = archive.unpack(path, room, passphrase)
    database = {"sqlite": sqlite, "postgresql": postgresql}[manifest["database"]]
    wrong = facts.differences(manifest["holds"], database.look(room / database.MEMBER))
    if wrong:
        raise BackupError(f"{path.name} does not hold what was copied: {', '.join(wrong)} differ.")
    return manifest
