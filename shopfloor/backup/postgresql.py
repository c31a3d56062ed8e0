"""Dumps a PostgreSQL database while it is in use, and loads a dump in its place.

PostgreSQL's own `pg_dump` and `pg_restore` do it: they must be on this machine, at least as new as
the server. The dump sees the very snapshot in which the rows were counted. What pg_restore makes of
a dump goes to the database alone, never to `psql`, in which a line of it could start a program.
"""

import os
import re
import shutil
import subprocess
from collections.abc import Callable, Iterable, Iterator
from itertools import takewhile
from pathlib import Path
from typing import Any

from django.db import DatabaseError, connection, connections

from shopfloor.backup import facts
from shopfloor.backup.errors import BackupError
from shopfloor.backup.facts import Json

MEMBER = "database.dump"
END_OF_ROWS = b"\\.\n"
FRAMING = re.compile(r"\\(?:un)?restrict \w+\s*")  # what pg_restore writes round it for psql
COPY = re.compile(r'^COPY (?:"?\w+"?\.)?"?(\w+)"? \((.*)\) FROM stdin;$')
OTHERS = """select count(*) from pg_stat_activity
    where datname = current_database() and pid <> pg_backend_pid()
    and backend_type = 'client backend'"""
EMPTY_OUT = """DO $$ DECLARE one record; BEGIN
    FOR one IN SELECT tablename FROM pg_tables WHERE schemaname = 'public' LOOP
        EXECUTE format('DROP TABLE IF EXISTS public.%I CASCADE', one.tablename);
    END LOOP; END $$"""


def copy(to: Path) -> Json:
    own = connection.copy()
    try:
        with own.cursor() as cursor:
            cursor.execute("BEGIN ISOLATION LEVEL REPEATABLE READ, READ ONLY")
            cursor.execute("SELECT pg_export_snapshot()")
            snapshot = cursor.fetchone()[0]
            counted = _facts(cursor)
            options = ["--format=custom", "--no-owner", "--no-privileges", f"--snapshot={snapshot}"]
            _run("pg_dump", *options, "--file", str(to))
            cursor.execute("ROLLBACK")
    finally:
        own.close()
    return counted


def _facts(cursor: Any) -> Json:
    cursor.execute("select tablename from pg_tables where schemaname = 'public' order by 1")
    tables = [name for (name,) in cursor.fetchall()]
    if facts.LOG not in tables:
        raise BackupError("The database holds no log of this program.")
    counted = {}
    for table in tables:
        cursor.execute(f"select count(*) from {facts.quoted(table)}")
        counted[table] = cursor.fetchone()[0]
    return _told(
        counted,
        _rows(cursor, "select seq, id, digest from frames_entry order by seq"),
        _rows(cursor, "select epoch, seq from frames_counter"),
        dict(_rows(cursor, "select f.seq, f.change_id from frames_feed f, frames_counter c "
                           "where f.seq = c.seq")),
        [f"{app}.{name}" for app, name in _rows(cursor, "select app, name from django_migrations")],
    )  # fmt: skip


def _rows(cursor: Any, query: str) -> list[tuple[Any, ...]]:
    cursor.execute(query)
    return cursor.fetchall()


def _told(
    counted: dict[str, int],
    entries: list[tuple[Any, ...]],
    counter: list[tuple[Any, ...]],
    feed: dict[int, Any],
    migrations: list[str],
) -> Json:
    epoch, seq = counter[0] if counter else ("", 0)
    head = feed.get(int(seq))
    return {
        "tables": counted,
        "log": facts.log(entries),
        "epoch": facts.plain(epoch),
        "head": {"seq": int(seq), "id": facts.plain(head) if head else None},
        "migrations": sorted(migrations),
    }


def look(path: Path) -> Json:
    """Facts of a dump, told by the rows that loading it would write."""
    try:
        return _facts_of(path)
    except (ValueError, KeyError) as error:
        raise BackupError("The dump holds no log of this program: use another backup.") from error


def _facts_of(path: Path) -> Json:
    counted: dict[str, int] = {}
    kept: dict[str, list[list[str]]] = {}
    wanted = {
        facts.LOG: ("seq", "id", "digest"),
        "frames_counter": ("epoch", "seq"),
        "frames_feed": ("seq", "change_id"),
        "django_migrations": ("app", "name"),
    }
    for table, columns, values in _written(path):
        counted[table] = counted.get(table, 0) + (values is not None)
        if values is not None and table in wanted:
            row = dict(zip(columns, values, strict=True))
            kept.setdefault(table, []).append([row[name] for name in wanted[table]])
    entries = sorted(kept.get(facts.LOG, []), key=lambda row: int(row[0]))
    return _told(
        counted,
        [tuple(row) for row in entries],
        [tuple(row) for row in kept.get("frames_counter", [])],
        {int(seq): id for seq, id in kept.get("frames_feed", [])},
        [f"{app}.{name}" for app, name in kept.get("django_migrations", [])],
    )


def _written(path: Path) -> Iterator[tuple[str, list[str], list[str] | None]]:
    """Table, columns and values of each row of a dump; values of None begin a table."""
    command = [_tool("pg_restore"), "--file=-", "--data-only", str(path)]
    table, columns = "", []
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True, encoding="utf-8") as program:
        assert program.stdout
        for line in program.stdout:
            line = line.removesuffix("\n")
            if table and line == r"\.":
                table = ""
            elif table:
                yield table, columns, line.split("\t")
            elif found := COPY.match(line):
                table, columns = found[1], [name.strip('" ') for name in found[2].split(",")]
                yield table, columns, None
    if program.returncode:
        raise BackupError("pg_restore cannot read the dump: use another backup.")


def check_unused() -> None:
    with connection.cursor() as cursor:
        cursor.execute(OTHERS)
        others = cursor.fetchone()[0]
    if others:
        raise BackupError(f"{others} other programs use this database: stop them first.")


def set_aside(folder: Path) -> Callable[[], None]:
    """Dump what is there now; how to bring it back."""
    connections.close_all()
    dump = folder / MEMBER
    options = ("--format=custom", "--no-owner", "--no-privileges")
    _run("pg_dump", *options, "--file", str(dump))

    def back() -> None:
        put(dump)
        dump.unlink()

    return back


def put(dump: Path) -> None:
    """Replace everything in the database by the dump, in one transaction."""
    connections.close_all()
    script = dump.with_suffix(".sql")
    # what the script sets for its session ends with a connection of its own
    own = connection.copy()
    try:
        _run("pg_restore", "--no-owner", "--no-privileges", "--file", str(script), str(dump))
        with script.open("rb") as lines, own.wrap_database_errors, own.cursor() as cursor:
            cursor.execute("BEGIN")
            cursor.execute(EMPTY_OUT)
            _load(cursor, lines)
            cursor.execute("COMMIT")
    except (DatabaseError, UnicodeDecodeError) as error:
        raise BackupError(f"The dump cannot be loaded, use another backup:\n{error}") from error
    finally:
        own.close()
        script.unlink(missing_ok=True)


def _load(cursor: Any, lines: Iterable[bytes]) -> None:
    """Send a script to the database: statements as they stand, rows of a COPY as its data."""
    lines, waiting = iter(lines), []
    for line in lines:
        text = line.decode()
        if COPY.match(text.rstrip("\n")):
            _execute(cursor, waiting)
            waiting = []
            with cursor.copy(text) as rows:
                for row in takewhile(lambda row: row != END_OF_ROWS, lines):
                    rows.write(row)
        elif not FRAMING.fullmatch(text):
            waiting.append(text)
    _execute(cursor, waiting)


def _execute(cursor: Any, lines: list[str]) -> None:
    if any(line.strip() and not line.startswith("--") for line in lines):
        cursor.execute("".join(lines))


def _run(name: str, *words: str) -> None:
    done = subprocess.run([_tool(name), *words], env=_environment(), capture_output=True, text=True)
    if done.returncode:
        raise BackupError(f"{name} did not succeed:\n{done.stderr[-2000:].strip()}")


def _tool(name: str) -> str:
    found = shutil.which(name)
    if not found:
        raise BackupError(f"{name} is missing. On Debian or Ubuntu: apt install postgresql-client")
    return found


def _environment() -> dict[str, str]:
    """Where the database is, told the way in which PostgreSQL's programs read it."""
    told = connection.settings_dict
    given = {
        "PGHOST": told["HOST"],
        "PGPORT": told["PORT"],
        "PGUSER": told["USER"],
        "PGPASSWORD": told["PASSWORD"],
        "PGDATABASE": told["NAME"],
    }
    return os.environ | {name: str(value) for name, value in given.items() if value}
