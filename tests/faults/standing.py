"""A shop on either database, as a context, and how its book stands after what was done to it."""

import json
import shutil
import sqlite3
import subprocess
import sys
import tempfile
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager, nullcontext
from pathlib import Path
from typing import Any
from uuid import UUID

import psycopg

from shopfloor.launch.steps import Stop
from tests.faults.shop import Json
from tests.log.cluster import cluster
from tests.shop_process import DATABASE, ROOT, ShopProcess

TRIES = 5
ENTRIES = "select id from frames_entry"
TOLD = "select object_id from frames_feed where type = 'entry'"
NUMBERS = "select seq from frames_feed order by seq"


class ShopOn(ShopProcess):
    """A server on a database of its own choosing; None is SQLite in its data folder."""

    def __init__(self, data: Path, address: str | None = None) -> None:
        super().__init__(data)
        self.address = address

    @property
    def env(self) -> dict[str, str]:
        more = {"DATABASE_URL": self.address} if self.address else {}
        return {**super().env, **more, "OPENBLAS_NUM_THREADS": "1"}

    def start(self) -> "ShopOn":
        """Several tries: on a busy machine a start may take longer than anybody would wait."""
        for left in reversed(range(TRIES)):
            try:
                super().start()
                break
            except Stop:
                self.process = None
                if not left:
                    raise
        return self


@contextmanager
def shop_on(database: str, like: Path | None = None) -> Iterator[ShopOn]:
    """An empty shop on `sqlite` or `postgresql`, which keeps what it is told as in real life.

    `like` is a data folder with an empty book in it, or one is made anew.
    """
    with cluster() if database == "postgresql" else nullcontext() as address:
        folder = Path(tempfile.mkdtemp(prefix="tautbook-load-"))
        if like:
            shutil.copytree(like, folder, dirs_exist_ok=True)
        shop = ShopOn(folder, address)
        try:
            if address or not like:
                shop.manage("migrate", "--verbosity", "0", "--no-input")
            if not like:
                shop.manage("collectstatic", "--verbosity", "0", "--no-input")
            yield shop
        finally:
            shop.kill()
            shutil.rmtree(folder)


def integrity(shop: ShopOn) -> str:
    """What SQLite says about its own file; PostgreSQL has no such question."""
    if shop.address:
        return "ok"
    return "; ".join(asked(shop, "pragma integrity_check"))


def asked(shop: ShopOn, query: str) -> list[Any]:
    """The one column of a query, put to the database itself."""
    (found,) = asked_at_once(shop, query)
    return found


def asked_at_once(shop: ShopOn, *queries: str) -> list[list[Any]]:
    """Each query's one column, all of one moment: what was killed may still be writing."""
    if shop.address:
        with psycopg.connect(shop.address) as link:
            link.isolation_level = psycopg.IsolationLevel.REPEATABLE_READ
            return [[row[0] for row in link.execute(query)] for query in queries]
    link = sqlite3.connect(shop.data / DATABASE, isolation_level=None)
    link.execute("begin")
    found = [[row[0] for row in link.execute(query)] for query in queries]
    link.close()
    return found


def check_kept(shop: ShopOn, acknowledged: list[str]) -> int:
    """Every acknowledged entry is in the log, each entry once, and no number of the feed lacks.

    How many entries there are.
    """
    assert integrity(shop) == "ok"
    ids, told, numbers = asked_at_once(shop, ENTRIES, TOLD, NUMBERS)
    entries = [str(UUID(str(id))) for id in ids]
    lost = set(acknowledged) - set(entries)
    assert not lost, f"acknowledged and lost: {sorted(lost)[:5]} of {len(lost)}"
    assert max(Counter(entries).values(), default=1) == 1
    assert {str(UUID(str(id))) for id in told} == set(entries)
    assert numbers == list(range(1, len(numbers) + 1)), "the feed has gaps"
    return len(entries)


def check_book(shop: ShopOn, sent: set[str]) -> Json:
    """At rest: all that was sent and nothing else, and state is one fold of the log."""
    assert check_kept(shop, sorted(sent)) == len(sent)
    env: dict[str, Any] = {**shop.env, "DJANGO_SETTINGS_MODULE": "shopfloor.settings"}
    command = [sys.executable, "-m", "tests.log.crowd", "report"]
    done = subprocess.run(command, cwd=ROOT, env=env, capture_output=True, text=True, timeout=600)
    assert done.returncode == 0, done.stderr
    book = json.loads(done.stdout)
    assert book["refused"] == 0
    assert book["state_is_replay"]
    assert book["trouble"] == []
    return book
