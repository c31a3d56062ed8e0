"""Backup copies of the database under test, put back as a person would: the whole file."""

import sqlite3
from pathlib import Path

import pytest
from django.db import connection


def take(to: Path) -> Path:
    _need_sqlite()
    connection.ensure_connection()
    with sqlite3.connect(to) as copy:
        connection.connection.backup(copy)
    copy.close()
    return to


def put_back(copy: Path) -> None:
    _need_sqlite()
    source = sqlite3.connect(copy)
    source.backup(connection.connection)
    source.close()


def _need_sqlite() -> None:
    if connection.vendor != "sqlite":
        pytest.skip("copies a file; PostgreSQL is restored by its own tools")
