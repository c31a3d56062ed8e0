"""Puts a backup back: opened and checked first, what was there is kept aside, phones send again."""

import shutil
import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management import call_command
from django.db import DatabaseError, connection, connections
from django.db.migrations.loader import MigrationLoader
from django.utils import timezone

from frames import feed
from shopfloor import authority, position
from shopfloor.backup import in_use, making, postgresql
from shopfloor.backup.errors import BackupError

USED = ("frames_entry", "frames_shop", "frames_frame", "shopfloor_device")


@dataclass(frozen=True)
class Restored:
    """What was put back; `aside` is where the shop that was there before is kept."""

    manifest: dict[str, Any]
    aside: Path | None


def restore(path: Path, *, passphrase: str | None = None, replace: bool = False) -> Restored:
    """Let the shop be what it was. Where that fails, everything is as it was before."""
    data = settings.TAUTBOOK_DATA
    with in_use.alone(data), tempfile.TemporaryDirectory(dir=data, prefix=".restore-") as folder:
        room = Path(folder)
        manifest = making.check(path, room, passphrase)
        _check_fits(manifest)
        used = _is_used()
        if used and not replace:
            raise BackupError(
                "There is a shop in this book already. Add --replace to put the backup in its "
                f"place; what is there now is kept aside in {data}."
            )
        aside = _swap(room, manifest)
    if not used:
        shutil.rmtree(aside)
    return Restored(manifest, aside if used else None)


def _check_fits(manifest: dict[str, Any]) -> None:
    here = connection.vendor
    if manifest["database"] != here:
        raise BackupError(
            f"This backup is of {manifest['database']} and DATABASE_URL names {here}: "
            "restore it to its own kind of database, then use move_database."
        )
    known = {".".join(key) for key in MigrationLoader(None).disk_migrations}
    apps = {name.split(".")[0] for name in known}
    done = manifest["holds"]["migrations"]
    newer = [name for name in done if name.split(".")[0] in apps and name not in known]
    if newer:
        raise BackupError(
            f"A newer version made this backup ({newer[-1]} is unknown here): install it first."
        )
    if here == "postgresql":
        postgresql.check_unused()


def _is_used() -> bool:
    """Whether there is a shop to lose; a database that cannot be read counts as one."""
    try:
        with connection.cursor() as cursor:
            for table in sorted(set(USED) & set(connection.introspection.table_names(cursor))):
                cursor.execute(f"select 1 from {table} limit 1")
                if cursor.fetchone():
                    return True
    except DatabaseError:
        return True
    return False


def _swap(room: Path, manifest: dict[str, Any]) -> Path:
    """Exchange database and secrets; where the present ones are kept."""
    data, database = settings.TAUTBOOK_DATA, making.kind()
    aside = data / f"replaced-{timezone.now():%Y%m%d-%H%M%S}"
    aside.mkdir(mode=0o700)
    undo = [database.set_aside(aside)]
    try:
        for name in _replaced(manifest):
            undo.append(_exchange(data / name, room / name, aside / name))
        database.put(room / database.MEMBER)
        call_command("migrate", verbosity=0, interactive=False)
        call_command("rebuild_state", if_due=True)
        # positions that phones were told are void: each sends again what it still holds
        feed.new_epoch()
    except BaseException:
        connections.close_all()
        for back in reversed(undo):
            back()
        aside.rmdir()
        raise
    return aside


def _replaced(manifest: dict[str, Any]) -> list[str]:
    """Names in the data folder that the backup stands in for, and the file of positions."""
    inside = {name.split("/")[0] for name in manifest["files"]}
    return [*sorted(inside & {making.SECRET, authority.FOLDER}), position.FILE]


def _exchange(here: Path, new: Path, aside: Path) -> Callable[[], None]:
    """Move what is `here` aside and `new` here, if they exist; how to take that back."""
    had = here.exists()
    if had:
        here.rename(aside)
    if new.exists():
        new.rename(here)

    def back() -> None:
        if here.is_dir():
            shutil.rmtree(here)
        here.unlink(missing_ok=True)
        if had:
            aside.rename(here)

    return back
