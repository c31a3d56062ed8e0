"""Backups of a real data folder: made, opened, damaged, refused, put back."""

import io
import json
import os
import shutil
import sqlite3
import stat
import subprocess
import sys
import tarfile
import tempfile
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from shopfloor.backup import BackupError, archive, check, keeping
from tests.shop_process import DATABASE, ROOT, ShopProcess
from tests.trust.bookkeeping import refused

WORDS = "the kettle sings at four\n"


@pytest.fixture
def demo(demo_data: Path, tmp_path: Path) -> ShopProcess:
    """The demo shop on a data folder of its own, no server running."""
    shutil.copytree(demo_data, tmp_path / "data")
    return ShopProcess(tmp_path / "data")


@pytest.fixture
def words(tmp_path: Path) -> Path:
    (tmp_path / "words").write_text(WORDS)
    return tmp_path / "words"


def entries(data: Path) -> list[tuple[str, str]]:
    with sqlite3.connect(data / DATABASE) as link:
        found = link.execute("select id, digest from frames_entry order by seq").fetchall()
    link.close()
    return found


def test_a_sealed_backup_brings_the_whole_shop_to_another_machine(
    demo: ShopProcess, tmp_path: Path, words: Path
) -> None:
    (demo.data / "authority").mkdir()
    (demo.data / "authority/authority.key").write_text("a key")
    (demo.data / "origin").write_text("https://quay.lan:8443")
    (demo.data / "position.json").write_text('{"epoch": "gone", "seq": 1, "id": null}')
    said = demo.manage("backup", str(tmp_path / "away"), "--passphrase-file", str(words))
    (file,) = (tmp_path / "away").iterdir()
    assert f"{len(entries(demo.data))} entries" in said
    assert keeping.NAME.fullmatch(file.name)
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    assert b"SQLite format" not in file.read_bytes()

    other = ShopProcess(tmp_path / "other")
    said = other.manage("restore", str(file), "--passphrase-file", str(words))
    assert entries(other.data) == entries(demo.data)
    assert (other.data / "secret_key").read_text() == (demo.data / "secret_key").read_text()
    assert (other.data / "authority/authority.key").read_text() == "a key"
    assert not (other.data / "position.json").exists()
    assert "Labels and phones know this shop as https://quay.lan:8443" in said
    assert "All is well" in other.manage("check_log")
    query = "from frames import feed; print(feed.head().epoch)"
    assert other.python(query) != demo.python(query)


def test_an_open_backup_leaves_the_authority_at_home(demo: ShopProcess, tmp_path: Path) -> None:
    (demo.data / "authority").mkdir()
    (demo.data / "authority/authority.key").write_text("a key")
    said = demo.manage("backup", str(tmp_path / "open.backup"))
    assert "not sealed" in said
    names = archive.peek(tmp_path / "open.backup", None)["files"]
    assert set(names) == {"database.sqlite3", "secret_key"}
    demo.manage("backup", str(tmp_path / "asked.backup"), "--with-authority")
    assert "authority/authority.key" in archive.peek(tmp_path / "asked.backup", None)["files"]


def test_a_book_in_use_is_kept_unless_told_and_then_kept_aside(
    demo: ShopProcess, tmp_path: Path
) -> None:
    demo.manage("backup", str(tmp_path / "one.backup"))
    before = entries(demo.data)
    with sqlite3.connect(demo.data / DATABASE) as link:
        link.execute("update frames_shop set name = 'Another name'")
    link.close()
    assert "Add --replace" in refused(demo, "restore", str(tmp_path / "one.backup"))
    demo.manage("restore", str(tmp_path / "one.backup"), "--replace")
    assert entries(demo.data) == before
    (aside,) = demo.data.glob("replaced-*")
    with sqlite3.connect(aside / DATABASE) as link:
        assert link.execute("select name from frames_shop").fetchone() == ("Another name",)
    link.close()
    assert (aside / "secret_key").exists()


def test_nothing_is_put_back_under_a_server_that_runs(demo: ShopProcess, tmp_path: Path) -> None:
    demo.start()
    try:
        demo.manage("backup", str(tmp_path / "one.backup"))
        said = refused(demo, "restore", str(tmp_path / "one.backup"), "--replace")
        assert "is running on this data folder: stop it first" in said
    finally:
        demo.kill()
    demo.manage("restore", str(tmp_path / "one.backup"), "--replace")


def test_a_restore_that_fails_half_way_leaves_all_as_it_was(
    demo: ShopProcess, tmp_path: Path
) -> None:
    """A database whose account of its own migrations is wrong cannot be brought up to date."""
    odd = ShopProcess(tmp_path / "odd")
    shutil.copytree(demo.data, odd.data)
    with sqlite3.connect(odd.data / DATABASE) as link:
        link.execute("delete from django_migrations where app = 'labels'")
    link.close()
    odd.manage("backup", str(tmp_path / "odd.backup"))
    before = {path.name: path.read_bytes() for path in demo.data.iterdir() if path.is_file()}
    done = subprocess.run(
        [sys.executable, "manage.py", "restore", str(tmp_path / "odd.backup"), "--replace"],
        **{"cwd": ROOT, "env": demo.env, "capture_output": True, "text": True},
        timeout=120,
    )
    assert done.returncode == 1
    assert "already exists" in done.stderr
    left = {path.name for path in demo.data.iterdir()}
    assert not [name for name in left if name.startswith(("replaced-", ".restore-"))]
    for name in ("secret_key", DATABASE):
        assert (demo.data / name).read_bytes() == before[name]
    assert "All is well" in demo.manage("check_log")


def test_a_damaged_entry_stops_the_backup_and_keeps_the_older_ones(
    demo: ShopProcess, tmp_path: Path
) -> None:
    folder = tmp_path / "kept"
    demo.manage("backup", str(folder))
    with sqlite3.connect(demo.data / DATABASE) as link:
        link.execute("update frames_entry set raw = replace(raw, '24', '25') where seq in "
                     "(select seq from frames_entry where raw like '%24%' limit 1)")  # fmt: skip
    link.close()
    said = refused(demo, "backup", str(folder), "--keep", "1")
    assert "is not what was received" in said
    assert len(list(folder.iterdir())) == 1


def test_a_backup_of_a_newer_version_is_not_loaded(demo: ShopProcess, tmp_path: Path) -> None:
    with sqlite3.connect(demo.data / DATABASE) as link:
        link.execute("insert into django_migrations (app, name, applied) "
                     "values ('frames', '9999_tomorrow', '2026-01-01')")  # fmt: skip
    link.close()
    demo.manage("backup", str(tmp_path / "new.backup"))
    said = refused(ShopProcess(tmp_path / "other"), "restore", str(tmp_path / "new.backup"))
    assert "newer version made this backup (frames.9999_tomorrow" in said


def test_a_file_that_is_no_whole_backup_is_said_so(demo: ShopProcess, tmp_path: Path) -> None:
    demo.manage("backup", str(tmp_path / "one.backup"))
    whole = (tmp_path / "one.backup").read_bytes()
    broken = tmp_path / "broken.backup"
    changed = bytearray(whole)
    changed[len(whole) // 2] ^= 0xFF
    for content in (b"", b"not a backup at all", whole[: len(whole) // 2], bytes(changed)):
        broken.write_bytes(content)
        with tempfile.TemporaryDirectory() as room, pytest.raises(BackupError, match="broken"):
            check(broken, Path(room), None)
    broken.write_bytes(b"not a backup at all")
    assert "broken.backup" in refused(demo, "restore", str(broken), "--check")
    assert "It is whole" in demo.manage("restore", str(tmp_path / "one.backup"), "--check")


def test_a_backup_never_overwrites_and_a_full_disk_is_named(
    demo: ShopProcess, tmp_path: Path
) -> None:
    (tmp_path / "mine.backup").write_text("something else")
    assert "exists already" in refused(demo, "backup", str(tmp_path / "mine.backup"))
    assert (tmp_path / "mine.backup").read_text() == "something else"
    full = Path("/dev/full")
    if full.exists():
        said = refused(demo, "backup", str(full / "x.backup"))
        assert "cannot be written" in said


def test_only_our_own_old_files_are_removed(tmp_path: Path) -> None:
    names = [f"tautbook-2026010{day}-010000Z.backup" for day in range(1, 8)]
    upgrade = ["tautbook-20250101-010000Z-before-upgrade.backup"]
    foreign = ["tautbook-old.backup", "holiday.jpg", "tautbook-20260101-010000Z.backup.part"]
    for name in names + upgrade + foreign:
        (tmp_path / name).touch()
    now = datetime(2026, 2, 1, tzinfo=UTC)
    gone = keeping.prune(tmp_path, 3, tmp_path / names[-1], now)
    assert [path.name for path in gone] == names[:4]
    left = {path.name for path in tmp_path.iterdir()}
    assert left == {*names[4:], *upgrade, *foreign}
    keeping.prune(tmp_path, 1, tmp_path / names[4], now)
    assert {names[4], names[6]} <= {path.name for path in tmp_path.iterdir()}


def test_two_backups_in_one_second_have_names_of_their_own_and_sort_by_time() -> None:
    first = datetime(2026, 1, 31, 1, 59, 0, 42_000, UTC)
    names = [keeping.name(first + timedelta(milliseconds=past)) for past in (0, 1, 900)]
    assert names[0] == "tautbook-20260131-015900.042Z.backup"
    assert all(keeping.NAME.fullmatch(name) for name in names)
    assert names == sorted(set(names))


MEMBER = "database.sqlite3"
GOOD = {
    "format": 1,
    "made_at": "2026-11-30T01:59:00+00:00",
    "origin": "https://tautbook.local",
    "database": "sqlite",
    "files": {MEMBER: {"bytes": 4, "sha256": "x"}},
    "holds": {
        "tables": {"frames_entry": 0},
        "log": {"entries": 0, "seq": 0, "digest": "x"},
        "epoch": "x",
        "head": {"seq": 0, "id": None},
        "migrations": [],
    },
}
HOLDS = GOOD["holds"]
SHAPES = {
    "no object": [GOOD],
    "a deep list": "[" * 100_000,
    "a list of files": GOOD | {"files": [1]},
    "a number for a file": GOOD | {"files": {MEMBER: 1}},
    "a digest of another kind": GOOD | {"files": {MEMBER: {"bytes": 4, "sha256": 1}}},
    "yes for a number": GOOD | {"files": {MEMBER: {"bytes": True, "sha256": "x"}}},
    "no files": {key: value for key, value in GOOD.items() if key != "files"},
    "a list for a format": GOOD | {"format": [1]},
    "a database nobody knows": GOOD | {"database": "other"},
    "a list for a database": GOOD | {"database": ["sqlite"]},
    "a number for what it holds": GOOD | {"holds": 1},
    "nothing of the log": GOOD | {"holds": HOLDS | {"log": {}}},
    "a word for migrations": GOOD | {"holds": HOLDS | {"migrations": "frames.0001"}},
    "numbers for migrations": GOOD | {"holds": HOLDS | {"migrations": [1]}},
    "a list for an epoch": GOOD | {"holds": HOLDS | {"epoch": []}},
    "a word for the terminal": GOOD | {"made_at": "\x1b]0;owned\x07"},
}


def packed(path: Path, manifest: object, **members: bytes) -> Path:
    raw = manifest.encode() if isinstance(manifest, str) else json.dumps(manifest).encode()
    with tarfile.open(path, "w:gz") as tar:
        for name, content in {"manifest.json": raw, **members}.items():
            member = tarfile.TarInfo(name)
            member.size = len(content)
            tar.addfile(member, io.BytesIO(content))
    return path


@pytest.mark.parametrize("name", SHAPES)
def test_a_manifest_of_another_shape_is_no_backup(name: str, tmp_path: Path) -> None:
    path = packed(tmp_path / "odd.backup", SHAPES[name], **{MEMBER: b"evil"})
    (tmp_path / "room").mkdir()
    with pytest.raises(BackupError, match="This is no backup of this program"):
        archive.peek(path, None)
    with pytest.raises(BackupError, match="This is no backup of this program"):
        check(path, tmp_path / "room", None)
    assert os.listdir(tmp_path / "room") == []


OTHER_NAMES = ["a\0b", "/etc/passwd", "position.json", "authority/../secret_key"]


@pytest.mark.parametrize("name", OTHER_NAMES)
def test_a_file_of_another_name_is_not_unpacked(name: str, tmp_path: Path) -> None:
    told = {MEMBER: {"bytes": 4, "sha256": "x"}, name: {"bytes": 4, "sha256": "x"}}
    (tmp_path / "room").mkdir()
    for manifest in (GOOD, GOOD | {"files": told}):
        path = packed(tmp_path / "odd.backup", manifest, **{name: b"evil"})
        with pytest.raises(BackupError, match=r"does not belong there|does not hold"):
            archive.unpack(path, tmp_path / "room", None)
    assert os.listdir(tmp_path / "room") == []


def test_a_table_of_any_name_is_only_counted(demo: ShopProcess, tmp_path: Path) -> None:
    """A name that would end its quotation and go on as a statement."""
    odd = 'x" union select count(*) from "auth_user'
    with sqlite3.connect(demo.data / DATABASE) as link:
        link.execute('create table "{}" (id)'.format(odd.replace('"', '""')))
    link.close()
    demo.manage("backup", str(tmp_path / "one.backup"))
    assert archive.peek(tmp_path / "one.backup", None)["holds"]["tables"][odd] == 0


def test_what_a_tampered_archive_names_stays_inside(tmp_path: Path) -> None:
    """A file name that climbs out of the folder is refused, even if the manifest lists it."""
    inside, raw = (
        tmp_path / "evil",
        json.dumps({"format": 1, "files": {"../escaped": {"bytes": 4, "sha256": "x"}}}).encode(),
    )
    inside.write_bytes(b"evil")
    (tmp_path / "manifest.json").write_bytes(raw)
    with tarfile.open(tmp_path / "evil.backup", "w:gz") as tar:
        tar.add(tmp_path / "manifest.json", "manifest.json")
        tar.add(inside, "../escaped")
    (tmp_path / "room").mkdir()
    with pytest.raises(BackupError, match="does not belong there"):
        archive.unpack(tmp_path / "evil.backup", tmp_path / "room", None)
    assert not (tmp_path / "escaped").exists()
    assert os.listdir(tmp_path / "room") == []
