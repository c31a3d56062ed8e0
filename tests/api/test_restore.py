"""After a restore from an older copy, what phones still hold comes back by itself."""

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from frames import feed
from frames.models import Entry
from shopfloor import position
from tests.api import copies
from tests.api.cast import Phone
from tests.api.entries import note
from tests.api.error_shape import assert_problem

pytestmark = pytest.mark.django_db(transaction=True)
ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture
def backup(phone: Phone, tmp_path: Path) -> Path:
    """A copy taken when both phones were enrolled and one entry was in."""
    phone.epoch = phone.push(note("Before the copy"))["epoch"]
    phone.take_changes()
    return copies.take(tmp_path / "copy.sqlite3")


def restart() -> bool:
    """The server was stopped for the restore, so it starts anew."""
    position._noted.clear()
    return position.check()


def test_the_file_beside_it_shows_that_the_database_went_back(phone: Phone, backup: Path) -> None:
    lost = note("After the copy")
    phone.push(lost)
    copies.put_back(backup)
    assert restart() is True
    assert_problem(phone.ask_changes(), 410, "gone")
    answer = phone.push()
    assert answer["resend"] is True
    assert answer["epoch"] != phone.epoch
    phone.push(lost)
    phone.take_snapshot()
    assert phone.push()["resend"] is False
    assert Entry.objects.filter(pk=lost["id"]).exists()


def test_a_database_that_came_without_the_file_is_a_new_epoch(phone: Phone, backup: Path) -> None:
    """Whoever brought the copy brought nothing that tells how far phones had come."""
    lost = [note("After the copy"), note("The newest, sent once more before the phone asks")]
    phone.push(*lost)
    copies.put_back(backup)
    position.path().unlink()
    assert restart() is True
    phone.push(lost[1])
    assert_problem(phone.ask_changes(), 410, "gone")
    assert phone.push()["resend"] is True


def test_the_first_start_of_all_begins_no_second_epoch() -> None:
    assert feed.head().seq == 0
    assert restart() is False


# From here on the whole folder was put back, so the file agrees with the database.


def test_a_phone_that_read_on_notices_all_the_same(
    phone: Phone, other_phone: Phone, tmp_path: Path
) -> None:
    """Another phone has since written to the same places, so only the change's id differs."""
    phone.epoch = phone.push()["epoch"]
    copy = copies.take(tmp_path / "copy.sqlite3")
    told = feed.head()
    other_phone.push(note("Lost, and known to be lost by the reader alone"))
    phone.take_changes()
    copies.put_back(copy)
    position._write(told)
    assert restart() is False
    other_phone.acked = None
    other_phone.push(note("Now at the same place"))
    assert feed.head().seq == phone.head["seq"]
    assert_problem(phone.ask_changes(), 410, "gone")
    assert phone.push()["resend"] is True


def test_a_phone_that_only_wrote_notices_all_the_same(phone: Phone, backup: Path) -> None:
    lost = note("Pushed, never pulled")
    phone.push(lost)
    copies.put_back(backup)
    position._write(feed.head())
    assert restart() is False
    assert_problem(phone.ask_changes(), 410, "gone")
    answer = phone.push(note("Always stored"))
    assert answer["receipts"][0]["status"] == "stored"
    phone.acked = lost["id"]
    assert phone.push()["resend"] is True
    phone.push(lost)
    assert phone.push()["resend"] is False


def test_a_phone_that_lost_nothing_is_left_alone(
    phone: Phone, other_phone: Phone, backup: Path
) -> None:
    other_phone.push(note("Lost"))
    copies.put_back(backup)
    position._write(feed.head())
    restart()
    assert phone.ask_changes().status_code == 200
    assert phone.push()["resend"] is False


def test_an_ordinary_restart_changes_nothing(phone: Phone) -> None:
    before = phone.push(note())["epoch"]
    assert restart() is False
    assert feed.head().epoch == before
    assert position.read() == feed.head()


def test_a_new_database_beside_an_old_file_is_a_new_epoch(phone: Phone) -> None:
    epoch = phone.push(note())["epoch"]
    told = position.read()
    position._write(feed.Head("7d9e5f6a-0000-4000-8000-000000000000", told.seq, told.id))
    assert restart() is True
    assert feed.head().epoch != epoch


@pytest.mark.parametrize("content", ["", "{", "[]", '{"epoch": 1}', '{"seq": "x"}'])
def test_a_file_that_cannot_be_read_is_taken_as_a_restore(phone: Phone, content: str) -> None:
    phone.push(note())
    position.path().write_text(content)
    assert restart() is True
    assert position.read() == feed.head()


def test_the_file_follows_what_phones_are_told(phone: Phone, other_phone: Phone) -> None:
    answer = phone.push(note(), note())
    kept = json.loads(position.path().read_text())
    assert kept == {"epoch": answer["epoch"], **answer["head"]}
    other_phone.epoch = answer["epoch"]
    other_phone.take_changes()
    assert json.loads(position.path().read_text()) == kept


def test_a_slower_process_never_takes_the_file_back(phone: Phone) -> None:
    early = feed.head()
    phone.push(note())
    late = position.read()
    position._noted.clear()
    position.note(early)
    assert position.read() == late


def test_entries_are_answered_for_even_if_the_file_cannot_be_written(phone: Phone) -> None:
    position.path().mkdir()
    assert phone.push(note())["receipts"][0]["status"] == "stored"
    assert [path.name for path in position.path().parent.iterdir()] == [position.FILE]


def test_a_start_without_tables_says_what_to_run(tmp_path: Path) -> None:
    env: dict[str, Any] = {**os.environ, "TAUTBOOK_DATA": str(tmp_path / "new"), "DATABASE_URL": ""}
    command = [sys.executable, "-c", "import shopfloor.asgi"]
    done = subprocess.run(command, cwd=ROOT, env=env, capture_output=True, text=True, timeout=60)
    assert done.returncode != 0
    assert "Run manage.py migrate." in done.stderr.splitlines()[-1]
