"""The same on PostgreSQL: its own tools dump the snapshot that was counted, and load it again."""

import subprocess
import sys
from pathlib import Path

import pytest

from shopfloor.backup import archive
from tests.shop_process import ROOT, ShopProcess
from tests.trust.bookkeeping import refused


class OnPostgres(ShopProcess):
    """Commands on a PostgreSQL database."""

    def __init__(self, data: Path, address: str) -> None:
        super().__init__(data)
        self.address = address

    @property
    def env(self) -> dict[str, str]:
        return {**super().env, "DATABASE_URL": self.address}


@pytest.fixture
def book(postgresql: str, tmp_path: Path) -> OnPostgres:
    """The demo shop in a database of its own."""
    name = "backed_up"
    for words in (f"DROP DATABASE IF EXISTS {name}", f"CREATE DATABASE {name}"):
        subprocess.run(["psql", "--quiet", "--command", words, postgresql], check=True)
    shop = OnPostgres(tmp_path / "data", postgresql.rsplit("/", 1)[0] + f"/{name}")
    shop.manage("migrate", "--verbosity", "0")
    shop.manage("load_demo", "--verbosity", "0")
    return shop


NAME = "from frames.models import Shop; print(Shop.objects.get().name)"
RENAME = "from frames.models import Shop; Shop.objects.update(name='Renamed')"


def test_a_shop_on_postgresql_is_saved_checked_and_put_back(
    book: OnPostgres, tmp_path: Path
) -> None:
    name = book.python(NAME)
    assert "opened and counted" in book.manage("backup", str(tmp_path / "one.backup"))
    manifest = archive.peek(tmp_path / "one.backup", None)
    assert set(manifest["files"]) == {"database.dump", "secret_key"}
    assert manifest["holds"]["log"]["entries"] == manifest["holds"]["tables"]["frames_entry"] > 400
    book.python(RENAME)
    assert "Add --replace" in refused(book, "restore", str(tmp_path / "one.backup"))
    book.manage("restore", str(tmp_path / "one.backup"), "--replace")
    assert book.python(NAME) == name
    assert "All is well" in book.manage("check_log")
    (aside,) = book.data.glob("replaced-*")
    assert (aside / "database.dump").exists()


def test_a_database_that_others_use_is_left_alone(book: OnPostgres, tmp_path: Path) -> None:
    book.manage("backup", str(tmp_path / "one.backup"))
    sits = [sys.executable, "manage.py", "shell", "--verbosity", "0"]
    source = "from frames import feed; feed.head(); print('in', flush=True); input()\n"
    pipes = {"stdin": subprocess.PIPE, "stdout": subprocess.PIPE, "text": True}
    with subprocess.Popen([*sits, "--command", source], cwd=ROOT, env=book.env, **pipes) as other:
        assert other.stdout
        assert other.stdin
        assert other.stdout.readline() == "in\n"
        said = refused(book, "restore", str(tmp_path / "one.backup"), "--replace")
        assert "other programs use this database" in said
        other.stdin.write("\n")


def test_kinds_of_database_are_not_mixed_up(book: OnPostgres, tmp_path: Path) -> None:
    book.manage("backup", str(tmp_path / "one.backup"))
    said = refused(ShopProcess(tmp_path / "other"), "restore", str(tmp_path / "one.backup"))
    assert "is of postgresql and DATABASE_URL names sqlite" in said
