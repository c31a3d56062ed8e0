"""Many phones at once, on a database file with its real locks."""

import sqlite3
from collections import Counter
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from threading import Barrier
from typing import Any

import pytest
from django.db import connection

from frames import feed
from frames.models import Entry, Feed
from tests.api.cast import Phone, enrolled
from tests.api.entries import mesh_fitted, note, uuid7
from tests.api.error_shape import assert_problem

pytestmark = pytest.mark.django_db(transaction=True)
PHONES = 6


def together(work: Callable[[int], Any]) -> list[Any]:
    """Run the work in threads that begin at the same moment."""
    gate = Barrier(PHONES)

    def run(number: int) -> Any:
        gate.wait(timeout=30)
        try:
            return work(number)
        finally:
            connection.close()

    with ThreadPoolExecutor(PHONES) as pool:
        return list(pool.map(run, range(PHONES)))


def test_the_same_batch_from_everywhere_is_stored_once() -> None:
    phones = [enrolled(f"Press {n}") for n in range(PHONES)]
    batch = [mesh_fitted(uuid7()), *(note() for _ in range(9))]
    answers = together(lambda n: phones[n].push(*batch))
    statuses = Counter(receipt["status"] for one in answers for receipt in one["receipts"])
    assert statuses == {"stored": 10, "duplicate": 10 * (PHONES - 1)}
    assert Entry.objects.count() == 10
    stored = [str(id) for id in Entry.objects.order_by("seq").values_list("pk", flat=True)]
    assert stored == [entry["id"] for entry in batch]
    seqs = {tuple(receipt["seq"] for receipt in one["receipts"]) for one in answers}
    assert seqs == {tuple(Entry.objects.order_by("seq").values_list("seq", flat=True))}


def test_the_feed_has_no_gap_and_no_doublet() -> None:
    phones = [enrolled(f"Press {n}") for n in range(PHONES)]
    together(lambda n: [phones[n].push(note(), note()) for _ in range(5)])
    seqs = list(Feed.objects.values_list("seq", flat=True))
    assert seqs == list(range(1, PHONES * 10 + 1))
    assert feed.head().seq == seqs[-1]


def test_a_reader_among_writers_misses_nothing() -> None:
    phones = [enrolled(f"Press {n}") for n in range(PHONES)]
    reader = phones[0]
    reader.epoch = reader.push()["epoch"]

    def work(number: int) -> list[int]:
        if number:
            for _ in range(8):
                phones[number].push(note())
            return []
        return [change["seq"] for _ in range(20) for change in reader.take_changes()]

    seen = together(work)[0] + [change["seq"] for change in reader.take_changes()]
    assert seen == list(range(1, (PHONES - 1) * 8 + 1))


@pytest.fixture
def held() -> Iterator[sqlite3.Connection]:
    """Somebody else holds the database for writing, longer than anyone waits."""
    if connection.vendor != "sqlite":
        pytest.skip("PostgreSQL locks rows, not the whole file")
    other = sqlite3.connect(connection.settings_dict["NAME"], isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    yield other
    other.close()


def test_a_busy_database_is_said_to_be_busy(phone: Phone, held: sqlite3.Connection) -> None:
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA busy_timeout = 50")
    response = phone.post("sync/push", phone.envelope([note()]))
    assert_problem(response, 503, "locked")
    assert response["Retry-After"] == "5"
    held.execute("ROLLBACK")
    assert phone.push(note())["receipts"][0]["status"] == "stored"
    connection.close()
