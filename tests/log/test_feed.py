"""The feed: one order for everything, positions that a reader can trust."""

from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from threading import Event
from typing import Any

import pytest
from django.db import IntegrityError, OperationalError, connection, transaction
from django.http import HttpRequest, HttpResponse

from frames import feed, things
from frames.models import Counter, Feed
from shopfloor import turns
from tests.log.making import Maker

pytestmark = pytest.mark.django_db
ID = Maker(1).new_id()


def told(count: int) -> None:
    with feed.change() as turn:
        for _ in range(count):
            turn.append("thing", "press", ID, {"id": ID})


def test_an_empty_feed_stands_at_nothing() -> None:
    head = feed.head()
    assert (head.seq, head.id) == (0, None)
    assert feed.after(0, 10) == []
    assert feed.head().epoch == head.epoch


def test_changes_are_numbered_without_a_hole_and_come_back_in_order() -> None:
    told(2)
    told(3)
    assert [change.seq for change in feed.after(0, 10)] == [1, 2, 3, 4, 5]
    assert [change.seq for change in feed.after(1, 2)] == [2, 3]
    assert len({change.change_id for change in feed.after(0, 10)}) == 5


def test_the_head_names_the_change_at_its_place() -> None:
    told(2)
    last = Feed.objects.get(seq=2)
    assert feed.head() == feed.Head(feed.head().epoch, 2, str(last.change_id))


def test_a_failed_turn_leaves_no_hole() -> None:
    told(1)
    with pytest.raises(IntegrityError), feed.change() as turn:
        turn.rows = [Feed(seq=turn.reserve(), type="thing", kind="press", object_id=None)]
    told(1)
    assert [change.seq for change in feed.after(0, 10)] == [1, 2]


def test_a_turn_without_changes_leaves_everything_alone() -> None:
    told(1)
    stood = feed.head()
    told(0)
    assert feed.head() == stood


@pytest.fixture
def impatient(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Nobody waits for the book for longer than a blink."""
    monkeypatch.setattr(turns, "PATIENCE_S", 0.3)
    if connection.vendor == "postgresql":
        with connection.cursor() as cursor:
            cursor.execute("set lock_timeout = 300")
    yield
    if connection.vendor == "postgresql":
        with connection.cursor() as cursor:
            cursor.execute("reset lock_timeout")


@contextmanager
def somebody_else_writes() -> Iterator[Callable[[], None]]:
    """Another connection has the book open until it is told to go on."""
    opened, goes_on = Event(), Event()

    def write() -> None:
        try:
            with feed.change() as turn:
                turn.append("thing", "press", ID, {"id": ID})
                opened.set()
                assert goes_on.wait(60)
        finally:
            connection.close()

    with ThreadPoolExecutor(1) as pool:
        other = pool.submit(write)
        try:
            assert opened.wait(60)
            yield lambda: (goes_on.set(), other.result(60))
        finally:
            goes_on.set()


@pytest.mark.django_db(transaction=True)
def test_a_writer_that_waits_too_long_is_told_so_and_nothing_of_it_is_left(impatient: None) -> None:
    told(1)
    with somebody_else_writes() as goes_on:
        with pytest.raises(OperationalError):
            told(1)
        assert feed.head().seq == 1
        goes_on()
    assert feed.head().seq == 2
    told(1)
    assert [change.seq for change in feed.after(0, 10)] == [1, 2, 3]


@pytest.mark.django_db(transaction=True)
def test_a_writer_waits_for_its_turn() -> None:
    told(1)
    with somebody_else_writes() as goes_on, ThreadPoolExecutor(1) as pool:

        def write() -> None:
            try:
                told(1)
            finally:
                connection.close()

        waiting = pool.submit(write)
        with pytest.raises(TimeoutError):
            waiting.result(0.5)
        goes_on()
        waiting.result(60)
    assert [change.seq for change in feed.after(0, 10)] == [1, 2, 3]


@pytest.mark.skipif(connection.vendor != "sqlite", reason="PostgreSQL keeps a line of its own")
@pytest.mark.django_db(transaction=True)
def test_a_request_has_one_patience_for_all_that_it_writes(impatient: None) -> None:
    told(1)
    asked: list[str] = []
    many: list[str] = []
    once: list[str] = []

    def counting(execute: Callable[..., Any], sql: str, *rest: Any) -> Any:
        asked.append(sql)
        return execute(sql, *rest)

    def writes_twice(request: HttpRequest) -> HttpResponse:
        for tries in (many, once):
            asked.clear()
            with connection.execute_wrapper(counting), pytest.raises(OperationalError):
                told(1)
            tries += asked
        return HttpResponse()

    with somebody_else_writes():
        turns.OnePatience(writes_twice)(HttpRequest())
    assert len(many) > 1
    assert len(once) == 1, "it waited again"


def test_a_place_is_given_once() -> None:
    told(1)
    with pytest.raises(IntegrityError), transaction.atomic():
        Feed.objects.bulk_create([Feed(seq=1, type="thing", kind="press", object_id=ID)])


def test_it_knows_the_positions_that_it_gave() -> None:
    told(2)
    first, second = feed.after(0, 2)
    assert feed.holds(0, None)
    assert feed.holds(2, str(second.change_id))
    assert not feed.holds(2, str(first.change_id))
    assert not feed.holds(3, str(second.change_id))
    assert not feed.holds(1, None)


def test_a_new_epoch_voids_positions_and_keeps_the_feed() -> None:
    told(2)
    before = feed.head()
    after = feed.new_epoch()
    assert after.epoch != before.epoch
    assert (after.seq, after.id) == (before.seq, before.id)
    assert Counter.objects.count() == 1


def test_things_and_entries_share_one_count() -> None:
    shop = things.create("shop", {"name": "Test shop", "prefix": "F"}, "test")
    told(1)
    shop = things.change("shop", shop.id, {"name": "Same shop"}, 1, "test")
    assert shop.seq == 3
    assert [(change.seq, change.kind) for change in feed.after(0, 9)] == [
        (1, "shop"),
        (2, "press"),
        (3, "shop"),
    ]
