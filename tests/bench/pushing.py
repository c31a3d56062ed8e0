"""Push at batch 100 against the bare insert of the same rows."""

import json
from collections.abc import Iterator

from django.db import connection, transaction

from frames.models import Counter, Entry, Feed
from tests.api.cast import Phone, enrolled
from tests.bench.book import Book
from tests.bench.timing import Row, p95, seconds

BATCH, BATCHES, FRAMES = 100, 40, 500


def rows() -> Iterator[Row]:
    book, phone = Book(FRAMES, BATCH * BATCHES), enrolled()
    sent = [_body(phone, book.take(BATCH)) for _ in range(BATCHES)]
    pushed, spans = [], []
    for body in sent:
        before = Counter.objects.get().seq
        pushed.append(seconds(lambda body=body: _push(phone, body)))
        spans.append((before, Counter.objects.get().seq))
    bare = list(_insert_again(spans))
    for name, taken in (("push", pushed), ("bare insert of the same rows", bare)):
        rate = BATCH * len(taken) / sum(taken)
        yield Row(
            f"{name}, batches of {BATCH}",
            f"{rate:,.0f} entries/s, p95 {p95(taken) * 1000:.0f} ms",
            sum(taken) / sum(bare) if taken is pushed else 1,
        )


def _body(phone: Phone, entries: list) -> bytes:
    return json.dumps(phone.envelope(entries)).encode()


def _push(phone: Phone, body: bytes) -> None:
    assert phone.post("sync/push", body).status_code == 200


def _insert_again(spans: list[tuple[int, int]]) -> Iterator[float]:
    """The rows that each push left in log and feed, put back batch by batch into empty tables."""
    parts = []
    for low, high in spans:
        part = {"seq__gt": low, "seq__lte": high}
        parts.append((list(Entry.objects.filter(**part)), list(Feed.objects.filter(**part))))
    for table in (Entry, Feed):
        with connection.cursor() as cursor:
            cursor.execute(f"DELETE FROM {table._meta.db_table}")
    for entries, changes in parts:
        yield seconds(lambda entries=entries, changes=changes: _insert(entries, changes))


@transaction.atomic
def _insert(entries: list[Entry], changes: list[Feed]) -> None:
    Entry.objects.bulk_create(entries)
    Feed.objects.bulk_create(changes)
