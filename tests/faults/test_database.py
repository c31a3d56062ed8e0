"""What the database does to a batch: it fails in the middle, is full, cannot be written."""

from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from datetime import timedelta
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.db import IntegrityError, OperationalError, connection
from django.test import Client
from django.utils import timezone

from frames import feed, log
from frames.folding import fold
from frames.models import STATES, Entry, Feed, InstallState, Refused
from tests.api.cast import Phone, enrolled, person, signed_in
from tests.api.entries import check, mesh_fitted, note, uuid7, void
from tests.api.error_shape import assert_problem
from tests.log.making import Raw

pytestmark = pytest.mark.django_db(transaction=True)
on_sqlite = pytest.mark.skipif(
    connection.vendor != "sqlite", reason="test_postgresql.py fills the disk of a cluster"
)
KEPT = (Entry, Feed, Refused, InstallState, *STATES.values())


@pytest.fixture
def own_data_folder(settings: Any, tmp_path: Any) -> None:
    settings.TAUTBOOK_DATA = tmp_path


@pytest.fixture
def mara(own_data_folder: None) -> User:
    return person("mara", "manager")


@pytest.fixture
def phone(own_data_folder: None) -> Phone:
    return enrolled()


def batch() -> list[Raw]:
    """One of each way that an entry goes: new state, followed, undone, refused."""
    fitted = mesh_fitted(uuid7())
    read = check(fitted, 23.5)
    return [fitted, read, void(read), {"id": "no entry"}, note(frame=fitted["frame"])]


def standing() -> dict[str, list[Any]]:
    """All rows that a batch may touch."""
    return {model.__name__: sorted(map(repr, model.objects.values_list())) for model in KEPT}


class FailsAt:
    """Breaks the step that is next when it has counted down."""

    def __init__(self, step: int) -> None:
        self.left = step

    def __call__(self, execute: Callable[..., Any], sql: str, *rest: Any) -> Any:
        self.left -= 1
        if self.left == 0:
            self.left = -1
            raise OperationalError("disk I/O error")
        return execute(sql, *rest)


@pytest.mark.promise(1, 2)
def test_f21_a_batch_that_fails_at_any_step_is_whole_or_not_there() -> None:
    """Whatever step the database fails at, nothing of the batch is left, and it can come again."""
    sent = batch()
    before = standing()
    for step in range(1, 200):
        failing = FailsAt(step)
        try:
            with connection.execute_wrapper(failing):
                log.append(sent, device="phone:test", received_at=timezone.now())
        except OperationalError:
            assert standing() == before, f"step {step}"
            continue
        assert failing.left > 0
        break
    else:
        pytest.fail("the batch never went in")
    assert step > 10, "the database was hardly used: is it being watched?"
    again = log.append(sent, device="phone:test", received_at=timezone.now())
    assert [one.status for one in again] == [*["duplicate"] * 3, "refused", "duplicate"]
    assert Entry.objects.count() == 4
    assert Refused.objects.count() == 1
    assert list(Feed.objects.order_by("seq").values_list("seq", flat=True)) == list(
        range(1, feed.head().seq + 1)
    )
    raws = Entry.objects.order_by("seq").values_list("raw", flat=True)
    kept = {
        f"{kind}s": {str(row.pk): row.body for row in model.objects.all()}
        for kind, model in STATES.items()
    }
    assert kept == fold(raws)


@contextmanager
def told(words: str, value: int | str, back: int | str) -> Iterator[None]:
    """A setting of this connection to the database, and what it was before."""
    with connection.cursor() as cursor:
        cursor.execute(f"{words} = {value}")
    try:
        yield
    finally:
        with connection.cursor() as cursor:
            cursor.execute(f"{words} = {back}")


def only_read() -> AbstractContextManager[None]:
    words = {"sqlite": "pragma query_only", "postgresql": "set default_transaction_read_only"}
    return told(words[connection.vendor], "on", back="off")


def pages() -> int:
    with connection.cursor() as cursor:
        return cursor.execute("pragma page_count").fetchone()[0]


@on_sqlite
def test_f30_a_full_disk_puts_phones_off_and_takes_nothing_half(phone: Phone) -> None:
    """SQLite's own limit of pages gives the error that a full disk gives."""
    phone.push(note())
    sent = [note("x" * 900) for _ in range(100)]
    before = Entry.objects.count()
    with told("pragma max_page_count", pages(), back=2**31 - 2):
        for _ in range(3):
            response = phone.post("sync/push", phone.envelope(sent))
            if response.status_code != 200:
                break
            sent = [note("y" * 900) for _ in range(100)]
            before = Entry.objects.count()
        assert_problem(response, 503, "unwritable")
        assert response["Retry-After"]
        assert Entry.objects.count() == before
        assert phone.get("me").status_code == 200, "reading goes on"
    statuses = {one["status"] for one in phone.push(*sent)["receipts"]}
    assert statuses == {"stored"}


def test_f30_a_database_that_cannot_be_written_puts_phones_off(phone: Phone) -> None:
    entry = note()
    phone.push(note())
    with only_read():
        response = phone.post("sync/push", phone.envelope([entry]))
        assert_problem(response, 503, "unwritable")
        assert response["Retry-After"]
    assert phone.push(entry)["receipts"][0]["status"] == "stored"


def test_f30_the_office_says_what_is_the_matter(phone: Phone, mara: User) -> None:
    """What would be saved is not, and nobody can sign in; pages are read as before."""
    desk, other = signed_in(mara), Client(raise_request_exception=False)
    desk.raise_request_exception = False
    session = desk.session
    session["seen_at"] = (timezone.now() - timedelta(hours=1)).isoformat()
    session.save()
    words = {"username": "mara", "password": "mara likes long words"}
    with only_read():
        assert desk.get("/office/").status_code == 200, "its use of the sign-in is not kept"
        saved = desk.post("/office/phones/add/", {"label": "Press 3"})
        refused = other.post("/office/sign-in/", words)
    for response in (saved, refused):
        assert response.status_code == 503
        assert response["Retry-After"]
        assert "The book cannot be written" in response.content.decode()
    assert desk.session["seen_at"] == session["seen_at"]
    desk.get("/office/")
    assert desk.session["seen_at"] > session["seen_at"]
    assert other.post("/office/sign-in/", words).status_code == 302


def test_a_mistake_of_ours_is_none_of_the_databases(phone: Phone, monkeypatch: Any) -> None:
    def failing(*_: Any, **__: Any) -> None:
        raise IntegrityError("a secret of the server")

    monkeypatch.setattr(log, "append", failing)
    phone.client.raise_request_exception = False
    assert_problem(phone.post("sync/push", phone.envelope([note()])), 500, "internal")
