"""The same on PostgreSQL: its own tools dump the snapshot that was counted, and load it again."""

import os
import shutil
import subprocess
import sys
import tempfile
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
        self.path = os.environ["PATH"]

    @property
    def env(self) -> dict[str, str]:
        return {**super().env, "DATABASE_URL": self.address, "PATH": self.path}


def ask(server: str, *lines: str) -> None:
    for line in lines:
        subprocess.run(["psql", "--quiet", "--command", line, server], check=True)


def at(server: str, name: str) -> str:
    return server.rsplit("/", 1)[0] + f"/{name}"


@pytest.fixture(scope="module")
def pattern(postgresql: str, tmp_path_factory: pytest.TempPathFactory) -> OnPostgres:
    """The demo shop, loaded once for every test to have a copy of."""
    ask(postgresql, "DROP DATABASE IF EXISTS pattern", "CREATE DATABASE pattern")
    shop = OnPostgres(tmp_path_factory.mktemp("pattern") / "data", at(postgresql, "pattern"))
    shop.manage("migrate", "--verbosity", "0")
    shop.manage("load_demo", "--verbosity", "0")
    return shop


@pytest.fixture
def book(postgresql: str, pattern: OnPostgres, tmp_path: Path) -> OnPostgres:
    """The demo shop in a database of its own."""
    ask(
        postgresql,
        "DROP DATABASE IF EXISTS backed_up",
        "CREATE DATABASE backed_up TEMPLATE pattern",
    )
    shutil.copytree(pattern.data, tmp_path / "data")
    return OnPostgres(tmp_path / "data", at(postgresql, "backed_up"))


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


MARKER = "marker_" + "x" * 40
TABLE = f"CREATE TABLE public.{MARKER}"


def test_a_line_of_a_dump_starts_no_program(book: OnPostgres, tmp_path: Path) -> None:
    """What psql would take for a command of its own is to the database a mistake in a statement."""
    source = f"from django.db import connection as c; c.cursor().execute('{TABLE} (id int)')"
    book.python(source)
    book.manage("backup", str(tmp_path / "one.backup"))
    (tmp_path / "room").mkdir()
    manifest = archive.unpack(tmp_path / "one.backup", tmp_path / "room", None)
    dump, ran = tmp_path / "room/database.dump", Path(tempfile.mkdtemp(dir="/tmp")) / "ran"
    command = f"\\! touch {ran}\n".encode().ljust(len(TABLE))
    assert len(command) == len(TABLE)
    dump.write_bytes(dump.read_bytes().replace(TABLE.encode(), command))
    assert command in dump.read_bytes()
    files = {name: tmp_path / "room" / name for name in manifest["files"]}
    told = {key: manifest[key] for key in ("made_at", "origin", "database", "holds")}
    with (tmp_path / "evil.backup").open("wb") as out:
        archive.write(out, told, files, None)
    name = book.python(NAME)
    said = refused(book, "restore", str(tmp_path / "evil.backup"), "--replace")
    assert "The dump cannot be loaded, use another backup:\nsyntax error" in said
    assert not ran.exists()
    ran.parent.rmdir()
    assert book.python(NAME) == name
    assert "All is well" in book.manage("check_log")


def test_a_dump_is_loaded_without_psql(book: OnPostgres, tmp_path: Path) -> None:
    """psql is a program that runs what stands in a script, so none of a backup goes through it."""
    tools = tmp_path / "tools"
    tools.mkdir()
    for tool in ("pg_dump", "pg_restore"):
        (tools / tool).symlink_to(shutil.which(tool))
    book.manage("backup", str(tmp_path / "one.backup"))
    name = book.python(NAME)
    book.python(RENAME)
    book.path = str(tools)
    book.manage("restore", str(tmp_path / "one.backup"), "--replace")
    assert book.python(NAME) == name


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
