"""A start that is about to change the database saves it first; the way back is that file."""

import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from shopfloor.backup import archive
from tests.launch.test_start import Started
from tests.shop_process import DATABASE, ShopProcess, free_port


@pytest.fixture
def old(demo_data: Path, tmp_path: Path) -> ShopProcess:
    """The demo shop as a version left it that had no labels yet."""
    shutil.copytree(demo_data, tmp_path / "data")
    shop = ShopProcess(tmp_path / "data")
    shop.manage("migrate", "labels", "zero", "--verbosity", "0")
    return shop


@pytest.fixture
def running(old: ShopProcess) -> Iterator[Started]:
    env = {**old.env, "PUBLIC_ORIGIN": f"http://localhost:{free_port()}"}
    one = Started(env, "start")
    yield one
    one.kill()


def tables(data: Path) -> set[str]:
    with closing(sqlite3.connect(data / DATABASE)) as link:
        found = link.execute("select name from sqlite_master where type = 'table'").fetchall()
    return {name for (name,) in found if name.startswith("labels_")}


def test_it_saves_before_it_upgrades_and_the_file_leads_back(
    old: ShopProcess, running: Started
) -> None:
    assert tables(old.data) == set()
    said = running.wait()
    assert "Backup before the upgrade" in said
    assert tables(old.data)
    assert running.end() == 0
    assert (old.data / "origin").read_text() in said
    (file,) = (old.data / "backups").iterdir()
    assert file.name.endswith("-before-upgrade.backup")
    done = archive.peek(file, None)["holds"]["migrations"]
    assert [name for name in done if name.startswith("labels.")] == []
    assert [name for name in done if name.startswith("frames.")] != []
    said = old.manage("restore", str(file), "--replace")
    assert "kept in" in said
    assert "All is well" in old.manage("check_log")


def test_nothing_to_upgrade_makes_no_such_backup(demo_data: Path, tmp_path: Path) -> None:
    shutil.copytree(demo_data, tmp_path / "data")
    shop = ShopProcess(tmp_path / "data")
    one = Started({**shop.env, "PUBLIC_ORIGIN": f"http://localhost:{free_port()}"}, "start")
    try:
        assert "Backup before" not in one.wait()
    finally:
        one.kill()
    assert not (shop.data / "backups").exists()


def test_without_a_backup_nothing_is_upgraded(old: ShopProcess, tmp_path: Path) -> None:
    (tmp_path / "not-a-folder").write_text("")
    env = {**old.env, "BACKUP_FOLDER": str(tmp_path / "not-a-folder/x")}
    one = Started({**env, "PUBLIC_ORIGIN": f"http://localhost:{free_port()}"}, "start")
    try:
        assert one.process.wait(60) == 1
        one.reader.join(60)
        assert "Nothing was upgraded, as no backup could be made first" in one.text
        assert tables(old.data) == set()
    finally:
        one.kill()
