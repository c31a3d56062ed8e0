"""A PostgreSQL whose disk is full, or that may only be read, under the real server."""

import http.client
import json
import os
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path
from uuid import uuid4

import psycopg
import pytest

from tests.api.entries import note
from tests.faults.phones import Host, Phone
from tests.faults.sending import packed
from tests.faults.shop import Json, furnish, ids
from tests.faults.standing import ShopOn, check_kept

CUT_OFF = "select pg_terminate_backend(pid) from pg_stat_activity where datname = %s"
SMALL_MB = 48
# What one push needs more than the room that its tables have left.
LONG = "x" * 900


class Book:
    """A database of its own in the cluster, and what can be done to it."""

    def __init__(self, cluster: str, room: Path | None) -> None:
        self.cluster, self.room = cluster, room
        self.name = f"book_{uuid4().hex[:12]}"
        self.address = f"{cluster.rsplit('/', 1)[0]}/{self.name}"

    def make(self) -> None:
        place = f"tablespace {self.name}" if self.room else ""
        if self.room:
            self.told(f"create tablespace {self.name} location '{self.room}'")
        self.told(f"create database {self.name} {place}")

    def drop(self) -> None:
        self.told(f"drop database {self.name} with (force)")
        if self.room:
            self.told(f"drop tablespace {self.name}")

    def told(self, words: str, *values: str) -> None:
        with psycopg.connect(self.cluster, autocommit=True) as link:
            link.execute(words, values)

    @contextmanager
    def only_read(self) -> Iterator[None]:
        """As after an administrator's word, with nobody left who came in before it."""
        setting = f"alter database {self.name}"
        self.told(f"{setting} set default_transaction_read_only = on")
        self.told(CUT_OFF, self.name)
        try:
            yield
        finally:
            self.told(f"{setting} reset default_transaction_read_only")
            self.told(CUT_OFF, self.name)

    @contextmanager
    def full(self) -> Iterator[None]:
        """Its disk is filled to the last byte by something else."""
        assert self.room
        ballast = self.room / "ballast"
        command = ["dd", "if=/dev/zero", f"of={ballast}", "bs=4096"]
        assert "No space" in subprocess.run(command, capture_output=True, text=True).stderr
        try:
            yield
        finally:
            ballast.unlink()


@contextmanager
def small_disk() -> Iterator[Path]:
    """A file system of its own that PostgreSQL may use; only root can mount one."""
    folder = Path(tempfile.mkdtemp(prefix="tautbook-disk-"))
    mounting = ["mount", "-t", "tmpfs", "-o", f"size={SMALL_MB}m", "none", str(folder)]
    if os.geteuid() or subprocess.run(mounting, capture_output=True).returncode:
        folder.rmdir()
        pytest.skip("no small disk can be mounted here")
    try:
        shutil.chown(folder, "postgres", "postgres")
        yield folder
    finally:
        subprocess.run(["umount", "--lazy", str(folder)], check=True)
        folder.rmdir()


@pytest.fixture(params=["only_read", "full"])
def trouble(request: pytest.FixtureRequest) -> str:
    return request.param


@pytest.fixture
def book(postgresql: str, trouble: str) -> Iterator[Book]:
    with ExitStack() as stack:
        room = stack.enter_context(small_disk()) if trouble == "full" else None
        one = Book(postgresql, room)
        one.make()
        stack.callback(one.drop)
        yield one


@pytest.fixture
def shop(book: Book, bare_data: Path, tmp_path: Path) -> Iterator[ShopOn]:
    shutil.copytree(bare_data, tmp_path / "data")
    one = ShopOn(tmp_path / "data", book.address)
    one.manage("migrate", "--verbosity", "0", "--no-input")
    yield one
    one.kill()


def pushed(shop: ShopOn, cookie: str, batch: list[Json]) -> tuple[int, str | None, Json]:
    """Status, Retry-After and body of one push over a line of its own."""
    line = http.client.HTTPConnection(shop.host, shop.port, timeout=60)
    kinds = {"Content-Type": "application/json", "Content-Encoding": "gzip"}
    own = {"X-Tautbook": "1", "Cookie": f"tautbook_device={cookie}"}
    line.request("POST", "/api/v1/sync/push", packed(batch), own | kinds)
    answer = line.getresponse()
    body = json.loads(answer.read())
    line.close()
    return answer.status, answer.getheader("Retry-After"), body


def test_f30_a_cluster_that_cannot_write_puts_phones_off(
    shop: ShopOn, book: Book, trouble: str, host: Host
) -> None:
    one, other = furnish(shop, phones=2)["cookies"]
    shop.start()
    phone = Phone(host, trouble, shop.origin, f"tautbook_device={one}", seed=417)
    phone.network("good")
    saved = [phone.save()]
    phone.kick()
    assert phone.unsent() == 0
    stored: list[str] = []
    with getattr(book, trouble)():
        status, batch = 200, [note(LONG) for _ in range(100)]
        # a full disk still has the pages that its tables got before
        for _ in range(20):
            status, wait, body = pushed(shop, other, batch)
            if status != 200:
                break
            stored += ids(batch)
            batch = [note(LONG) for _ in range(100)]
        assert (status, body["type"]) == (503, "/problems/unwritable"), body
        assert int(wait or 0) > 0
        assert "disk is full" in body["detail"]
        saved += phone.save_many(100, payload={"note": LONG})
        phone.kick()
        assert phone.states() == ["waiting"] * 100
        assert check_kept(shop, stored) == 1 + len(stored), "a batch went in half"
    assert pushed(shop, other, batch)[0] == 200
    phone.passes(120)
    phone.kick()
    assert phone.states() == []
    assert check_kept(shop, [*ids(saved), *stored, *ids(batch)]) == 201 + len(stored)
    said = shop.log()
    assert "status=503" in said
    assert "status=500" not in said
