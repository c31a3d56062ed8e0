"""/ready: each check can fail, and says what to do."""

import shutil
from collections import namedtuple
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from django.core.management import call_command
from django.db import OperationalError
from django.test import Client
from django.utils import timezone

from frames import feed
from shopfloor import ready
from shopfloor.backup import keeping
from tests.api import cast
from tests.api.entries import note

pytestmark = pytest.mark.django_db
Usage = namedtuple("Usage", "total used free")


@pytest.fixture(autouse=True)
def data(tmp_path: Path, settings: Any) -> Path:
    settings.TAUTBOOK_DATA = tmp_path
    ready._pending.cache_clear()
    return tmp_path


def asked() -> tuple[int, dict[str, Any]]:
    response = Client().get("/ready")
    return response.status_code, response.json()


def test_all_is_well_even_before_the_first_backup() -> None:
    status, body = asked()
    assert (status, body["status"]) == (200, "ready")
    assert list(body["checks"]) == ["database", "migrations", "clock", "disk", "backup"]
    assert [name for name, check in body["checks"].items() if not check["ok"]] == ["backup"]


def test_a_backup_counts_until_two_nights_have_passed(data: Path) -> None:
    keeping.note(timezone.now() - timedelta(hours=47), data / "x", 3)
    assert asked()[1]["checks"]["backup"]["ok"]
    keeping.note(timezone.now() - timedelta(hours=49), data / "x", 3)
    status, body = asked()
    assert status == 200
    assert not body["checks"]["backup"]["ok"]


def test_a_backup_of_a_time_to_come_is_not_taken_for_a_new_one(data: Path) -> None:
    """Made while the clock was ahead: how old it is nobody knows."""
    keeping.note(timezone.now() + timedelta(days=300), data / "x", 3)
    status, body = asked()
    assert status == 200
    assert not body["checks"]["backup"]["ok"]
    assert "set the clock" in body["checks"]["backup"]["says"]
    keeping.note(timezone.now() + timedelta(seconds=30), data / "x", 3)
    assert asked()[1]["checks"]["backup"]["ok"]


def test_a_full_disk(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(shutil, "disk_usage", lambda path: Usage(10**12, 10**12, 150_000_000))
    status, body = asked()
    assert status == 503
    assert body["checks"]["disk"]["says"].startswith("150 MB are free: make room")


def test_no_database(monkeypatch: pytest.MonkeyPatch) -> None:
    def fail() -> None:
        raise OperationalError("unable to open database file")

    monkeypatch.setattr(feed, "head", fail)
    status, body = asked()
    assert status == 503
    assert not body["checks"]["database"]["ok"]
    assert body["checks"]["disk"]["ok"]


def test_a_clock_that_went_back(press_2: cast.Phone) -> None:
    press_2.push(note())
    assert asked()[0] == 200
    later = ready.clock(timezone.now() - timedelta(days=3))
    assert not later.ok
    assert "set it" in later.says


@pytest.fixture
def press_2() -> cast.Phone:
    return cast.enrolled()


@pytest.mark.django_db(transaction=True)
def test_a_database_of_an_older_version() -> None:
    call_command("migrate", "labels", "zero", verbosity=0)
    try:
        status, body = asked()
        assert status == 503
        assert not body["checks"]["migrations"]["ok"]
    finally:
        call_command("migrate", verbosity=0)
    assert asked()[0] == 200
