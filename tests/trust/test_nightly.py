"""The backup nobody has to think of: made when due, kept in number, never stopping the shop."""

import os
import shutil
import time
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from shopfloor.backup import keeping
from tests.shop_process import ShopProcess

LOOK = "from shopfloor.launch import saving; saving.if_due()"


@pytest.fixture
def shop(bare_data: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> ShopProcess:
    monkeypatch.setenv("BACKUP_KEEP", "2")
    shutil.copytree(bare_data, tmp_path / "data")
    return ShopProcess(tmp_path / "data")


def made(shop: ShopProcess) -> list[str]:
    return sorted(path.name for path in (shop.data / "backups").glob("*.backup"))


def test_it_is_made_when_due_and_only_then(shop: ShopProcess) -> None:
    assert "0 entries" in shop.python(LOOK)
    (first,) = made(shop)
    assert shop.python(LOOK) == ""
    assert made(shop) == [first]
    for days in (4, 3, 2):
        older = keeping.name(datetime.now(UTC) - timedelta(days=days))
        shutil.copy(shop.data / "backups" / first, shop.data / "backups" / older)
    (shop.data / "backups" / first).unlink()
    assert "Backup:" in shop.python(LOOK)
    left = made(shop)
    assert left[0] == older
    assert len(left) == 2


def test_a_failure_is_told_and_nothing_else_happens(
    shop: ShopProcess, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    (tmp_path / "a-file").touch()
    monkeypatch.setenv("BACKUP_FOLDER", str(tmp_path / "a-file/within"))
    assert "No backup was made" in shop.python(LOOK)


def test_never_is_never(shop: ShopProcess, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("BACKUP_EVERY_HOURS", "0")
    assert shop.python(LOOK) == ""
    assert not (shop.data / "backups").exists()


def test_the_newest_is_told_by_its_name_not_by_its_date(tmp_path: Path) -> None:
    """Copying a folder to another disk gives every file today's date."""
    path = tmp_path / "tautbook-20260102-030405Z.backup"
    path.touch()
    os.utime(path, (time.time(), time.time()))
    now = datetime(2026, 1, 3, tzinfo=UTC)
    assert keeping.newest(tmp_path, now) == datetime(2026, 1, 2, 3, 4, 5, tzinfo=UTC)
    assert keeping.newest(tmp_path / "nowhere", now) is None


def test_after_a_night_with_the_clock_ahead_backups_go_on(shop: ShopProcess) -> None:
    """What was named then is kept, and pushes out none of those that were named right."""
    shop.python(LOOK)
    (first,) = made(shop)
    ahead = [keeping.name(datetime.now(UTC) + timedelta(days=days)) for days in (300, 301, 302)]
    yesterday = keeping.name(datetime.now(UTC) - timedelta(hours=25))
    for name in (*ahead, yesterday):
        shutil.copy(shop.data / "backups" / first, shop.data / "backups" / name)
    (shop.data / "backups" / first).unlink()
    assert "Backup:" in shop.python(LOOK)
    left = made(shop)
    assert (left[0], left[2:]) == (yesterday, ahead)
    assert len(left) == 5
    assert shop.python(LOOK) == ""


def test_digits_that_are_no_date_are_nobodys_backup(tmp_path: Path) -> None:
    (tmp_path / "tautbook-20269999-030405Z.backup").touch()
    now = datetime(2027, 1, 3, tzinfo=UTC)
    assert keeping.newest(tmp_path, now) is None
    assert keeping.prune(tmp_path, 1, tmp_path / "x", now) == []
