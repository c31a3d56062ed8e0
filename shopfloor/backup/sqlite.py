"""Copies an SQLite database while it is in use, and puts a copy in its place."""

import json
import shutil
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path

from django.conf import settings
from django.db import connections

from frames import intake
from frames.errors import Unreadable
from shopfloor.backup import facts
from shopfloor.backup.errors import BackupError
from shopfloor.backup.facts import Json

MEMBER = "database.sqlite3"
DAMAGED = "The database is damaged ({}). Put the newest good backup back, see 'restore'."


def place() -> Path:
    return Path(settings.DATABASES["default"]["NAME"])


def copy(to: Path) -> Json:
    """SQLite's own online backup: one consistent moment, and writers need not wait."""
    if not place().exists():
        raise BackupError(f"There is no database at {place()}: nothing to save yet.")
    with closing(_open(place())) as here, closing(sqlite3.connect(to)) as there:
        here.backup(there)
        # one file alone, without the companions that a database in use has
        there.execute("PRAGMA journal_mode=DELETE")
    return look(to)


def look(path: Path) -> Json:
    """Facts of a database file; BackupError if SQLite or an entry's digest finds it damaged."""
    try:
        with closing(_open(path)) as link:
            found = [row[0] for row in link.execute("PRAGMA integrity_check(3)")]
            if found != ["ok"]:
                raise BackupError(DAMAGED.format("; ".join(found)))
            if link.execute("PRAGMA foreign_key_check").fetchone():
                raise BackupError(DAMAGED.format("rows name others that are not there"))
            return _facts(link)
    except sqlite3.DatabaseError as error:
        raise BackupError(DAMAGED.format(error)) from error


def _open(path: Path) -> sqlite3.Connection:
    return sqlite3.connect(f"{path.resolve().as_uri()}?mode=ro", uri=True, timeout=30)


def _facts(link: sqlite3.Connection) -> Json:
    query = "select name from sqlite_master where type = 'table' and name not like 'sqlite_%'"
    tables = sorted(name for (name,) in link.execute(query))
    counted = {
        t: link.execute(f"select count(*) from {facts.quoted(t)}").fetchone()[0] for t in tables
    }
    if facts.LOG not in counted:
        raise BackupError("The database holds no log of this program.")
    epoch, seq = link.execute("select epoch, seq from frames_counter").fetchone() or ("", 0)
    head = link.execute("select change_id from frames_feed where seq = ?", (seq,)).fetchone()
    moves = link.execute("select app || '.' || name from django_migrations order by 1")
    return {
        "tables": counted,
        "log": facts.log(_entries(link)),
        "epoch": facts.plain(epoch),
        "head": {"seq": seq, "id": facts.plain(head[0]) if head else None},
        "migrations": [name for (name,) in moves],
    }


def _entries(link: sqlite3.Connection) -> Iterator[tuple[int, str, str]]:
    """Every entry in order; BackupError at the first that is not what its digest says."""
    query = "select seq, id, digest, raw from frames_entry order by seq"
    for seq, id, digest, raw in link.execute(query):
        try:
            same = intake.digest(json.loads(raw)) == digest
        except (ValueError, TypeError, RecursionError, Unreadable):
            same = False
        if not same:
            raise BackupError(DAMAGED.format(f"entry {id} is not what was received"))
        yield seq, id, digest


def set_aside(folder: Path) -> Callable[[], None]:
    """Move the present database away; how to bring it back."""
    connections.close_all()
    moved = [file for file in _files() if file.exists()]
    for file in moved:
        shutil.move(file, folder / file.name)

    def back() -> None:
        connections.close_all()
        for file in _files():
            file.unlink(missing_ok=True)
        for file in moved:
            shutil.move(folder / file.name, file)

    return back


def _files() -> list[Path]:
    return [place().with_name(place().name + end) for end in ("", "-wal", "-shm", "-journal")]


def put(copy: Path) -> None:
    """Let this copy be the database."""
    connections.close_all()
    shutil.move(copy, place())
