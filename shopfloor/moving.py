"""Moves a whole book to another database, and proves table by table that it arrived.

The book moved from is only read. The other database must be empty: what `migrate` itself puts
there is written anew, so a move that failed can simply be tried again.
"""

import hashlib
import json
import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from itertools import islice
from typing import Any

from django.apps import apps
from django.conf import settings
from django.core.management.color import no_style
from django.db import DatabaseError, connections, models, transaction
from django.db.migrations.executor import MigrationExecutor

from shopfloor import environment, places
from shopfloor.backup import in_use

HERE, THERE = "default", "moved_to"
CHUNK = 500
# Filled by `migrate` and by our own migrations on the way.
FILLED = {"django_content_type", "auth_permission", "auth_group", "auth_group_permissions"}
FILLED |= {"frames_counter"}
Model = type[models.Model]


class MoveError(Exception):
    """Nothing was moved; the message says what was wrong and what to do."""


def move(url: str) -> Iterator[tuple[str, int]]:
    """Move everything to the database at `url`; name and rows of each table that has arrived.

    MoveError before anything is written if the other database is not empty or cannot be
    reached; after that all is written or nothing.
    """
    _add(url)
    try:
        with in_use.alone(settings.TAUTBOOK_DATA):
            _check()
            _make_tables(url)
            with _steady(), transaction.atomic(THERE):
                yield from _copy_and_compare()
    except DatabaseError as error:
        raise MoveError(f"The other database said: {error}".strip()) from error
    finally:
        connections[THERE].close()
        del connections.settings[THERE]


def tables() -> list[Model]:
    """A model for every table of ours, those between two others included."""
    found = apps.get_models(include_auto_created=True)
    return [model for model in found if model._meta.managed and not model._meta.proxy]


def _add(url: str) -> None:
    try:
        known = {HERE: settings.DATABASES[HERE], THERE: environment.database_at(url)}
    except ValueError as error:
        raise MoveError(f"The address after --to cannot be read: {error}") from error
    connections.settings[THERE] = connections.configure_settings(known)[THERE]


def _check() -> None:
    plan = MigrationExecutor(connections[HERE])
    if plan.migration_plan(plan.loader.graph.leaf_nodes()):
        raise MoveError("This book is of an older version: start Tautbook once, then move it.")
    there = connections[THERE]
    ours = {model._meta.db_table: model for model in tables()}
    found = set(there.introspection.table_names())
    if strange := sorted(found - ours.keys() - {"django_migrations"}):
        raise MoveError(f"The other database holds tables of something else: {strange[0]}.")
    for table in sorted(found & ours.keys() - FILLED):
        if _rows(ours[table], THERE).exists():
            raise MoveError(f"The other database is not empty: {table} has rows. Make a new one.")


def _make_tables(url: str) -> None:
    """In a process of its own, since migrations write to the database that settings name."""
    done = subprocess.run(
        [sys.executable, "-m", "django", "migrate", "--no-input", "--verbosity", "0"],
        cwd=places.ROOT,
        env={
            **os.environ,
            "DATABASE_URL": url,
            "TAUTBOOK_DATA": str(settings.TAUTBOOK_DATA),
            "DJANGO_SETTINGS_MODULE": "shopfloor.settings",
        },
        capture_output=True,
        text=True,
    )
    if done.returncode:
        last = done.stderr.strip().splitlines()[-1:] or ["no reason given"]
        raise MoveError(f"Tables could not be made in the other database: {last[0]}")


@contextmanager
def _steady() -> Iterator[None]:
    """One view of this book, in which nobody writes or whose changes nobody sees."""
    with transaction.atomic(HERE):
        if connections[HERE].vendor == "postgresql":
            with connections[HERE].cursor() as cursor:
                cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ, READ ONLY")
        yield


def _copy_and_compare() -> Iterator[tuple[str, int]]:
    """Emptied, filled, then read back from there: each table in count and content."""
    every = tables()
    for model in every:
        _rows(model, THERE)._raw_delete(THERE)
    for model in every:
        _copy(model)
    _number_on(every)
    for model in every:
        here, there = account(model, HERE), account(model, THERE)
        if here != there:
            told = f"{here[0]} rows here, {there[0]} there"
            raise MoveError(f"{model._meta.db_table} arrived otherwise than it was sent: {told}.")
        yield model._meta.db_table, here[0]


def _rows(model: Model, alias: str) -> models.QuerySet:
    return model._base_manager.using(alias).order_by()


def _copy(model: Model) -> None:
    stamps = any(getattr(f, "auto_now", 0) or getattr(f, "auto_now_add", 0) for f in _fields(model))
    waiting = _rows(model, HERE).iterator(CHUNK)
    while batch := list(islice(waiting, CHUNK)):
        if stamps:  # in bulk these would get today's time
            for row in batch:
                row.save_base(raw=True, force_insert=True, using=THERE)
        else:
            model._base_manager.using(THERE).bulk_create(batch)


def _number_on(every: list[Model]) -> None:
    """Rows made later get numbers that are free."""
    connection = connections[THERE]
    with connection.cursor() as cursor:
        for sql in connection.ops.sequence_reset_sql(no_style(), every):
            cursor.execute(sql)


def account(model: Model, alias: str) -> tuple[int, str]:
    """Count of a table's rows, and a digest of their content whatever their order."""
    names = [field.attname for field in _fields(model)]
    rows = _rows(model, alias).values_list(*names).iterator(CHUNK)
    sums = sorted(hashlib.sha256(_text(row).encode()).digest() for row in rows)
    return len(sums), hashlib.sha256(b"".join(sums)).hexdigest()


def _fields(model: Model) -> list[Any]:
    return list(model._meta.concrete_fields)


def _text(row: tuple[Any, ...]) -> str:
    return json.dumps(row, sort_keys=True, default=_plain)


def _plain(value: Any) -> str:
    """What JSON does not know, the same whichever database it came from."""
    if isinstance(value, datetime):
        return value.astimezone(UTC).isoformat()
    if isinstance(value, bytes | memoryview):
        return bytes(value).hex()
    return str(value)
