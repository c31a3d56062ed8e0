"""`check_log` and `rebuild_state`: damage is found and named, state is mended, nothing else."""

from collections.abc import Callable
from datetime import UTC, datetime
from io import StringIO

import pytest
from django.core.management import CommandError, call_command

from frames import log
from frames.models import (
    Counter,
    Entry,
    Feed,
    Frame,
    FrameState,
    InstallState,
    MeterState,
    ScreenState,
)
from tests.log.making import Maker
from tests.log.shop import furnished

pytestmark = pytest.mark.django_db
NOW = datetime(2026, 11, 25, tzinfo=UTC)


@pytest.fixture(autouse=True)
def book() -> Maker:
    """A furnished shop with a log in it, its frame known to the maker."""
    frame = furnished()["frame"]
    maker = Maker(9)
    maker.frames[0].id = str(frame.id)
    entries = [*maker.entries(25), maker.zeroed()]
    receipts = log.append(entries, device="phone:1", received_at=NOW)
    assert {receipt.status for receipt in receipts} == {"stored"}
    return maker


def run(command: str) -> tuple[str, str]:
    """What it printed, and what it failed with."""
    out = StringIO()
    try:
        call_command(command, stdout=out)
    except CommandError as error:
        return out.getvalue(), str(error)
    return out.getvalue(), ""


def test_a_sound_book_is_said_to_be_sound() -> None:
    said, error = run("check_log")
    assert error == ""
    assert said.startswith(f"All is well: 26 entries, {Feed.objects.count()} changes")


def some(model: type) -> object:
    return model.objects.order_by("pk").first()


def change_text() -> None:
    row = Entry.objects.filter(kind="mesh_fitted").first()
    Entry.objects.filter(pk=row.pk).update(raw=row.raw | {"app": "forged"})


DAMAGE: dict[str, tuple[Callable[[], object], str]] = {
    "an entry rewritten": (change_text, "its content does not match its digest"),
    "an entry broken": (
        lambda: Entry.objects.filter(seq=some(Entry).seq).update(raw={"id": 2**70}),
        "its content cannot be read",
    ),
    "an entry misfiled": (
        lambda: Entry.objects.filter(pk=some(Entry).pk).update(frame_id=Maker(1).new_id()),
        "filed wrongly by frame_id",
    ),
    "an entry deleted": (lambda: some(Entry).delete(), "is in the feed, but not in the book"),
    "a change deleted": (
        lambda: Feed.objects.filter(type="entry").first().delete(),
        "was never told in the feed",
    ),
    "a change rewritten": (
        lambda: Feed.objects.filter(type="thing", kind="frame").update(body={}),
        "is not what the feed told at",
    ),
    "the last change deleted": (
        lambda: Feed.objects.latest("seq").delete(),
        "the counter stands at",
    ),
    "a hole in the feed": (lambda: Feed.objects.get(seq=1).delete(), "changes of"),
    "the counter set back": (lambda: Counter.objects.update(seq=3), "the counter stands at 3"),
    "a thing changed past its door": (
        lambda: Frame.objects.update(note="by hand"),
        "is not what the feed told at",
    ),
    "a frame's state changed": (
        lambda: FrameState.objects.update(body={}),
        "its state is not what its log says",
    ),
    "a screen's state lost": (
        lambda: ScreenState.objects.all().delete(),
        "its screens are not what its log says",
    ),
    "a meter's state changed": (
        lambda: MeterState.objects.update(body={}),
        "its state is not what its log says",
    ),
    "a count changed": (
        lambda: InstallState.objects.update(stored=1),
        "the count of its entries is not the number of its entries",
    ),
}


@pytest.mark.parametrize("damage", DAMAGE)
def test_damage_is_found_and_named(damage: str) -> None:
    harm, words = DAMAGE[damage]
    harm()
    said, error = run("check_log")
    assert any(line.startswith("TROUBLE: ") and words in line for line in said.splitlines()), said
    assert "contradictions" in error


def test_a_gap_in_a_phone_s_numbers_is_a_note_not_trouble(book: Maker) -> None:
    phone = book.phones[0]
    standing = phone.device_seq
    phone.device_seq += 3
    late = book.entry("note", {"note": ""}, frame=book.frames[0].id, phone=phone)
    phone.device_seq += 1
    later = book.entry("note", {"note": ""}, frame=book.frames[0].id, phone=phone)
    log.append([late, later], device="phone:1", received_at=NOW)
    said, error = run("check_log")
    numbers = f"{standing + 1} to {standing + 3}, {standing + 5}"
    assert f"note: phone {phone.install_id} has not sent its entries numbered {numbers}" in said
    assert error == ""


def test_a_number_used_twice_is_no_contradiction(book: Maker) -> None:
    phone = book.phones[0]
    first = book.entry("note", {"note": "a"}, frame=book.frames[0].id, phone=phone)
    twin = first | {"id": book.new_id()}
    log.append([first, twin], device="phone:1", received_at=NOW)
    log.append([twin | {"id": book.new_id()}], device="phone:2", received_at=NOW)
    assert run("check_log")[1] == ""


@pytest.mark.parametrize(
    "damage", ["a frame's state changed", "a screen's state lost", "a meter's state changed"]
)
def test_lost_state_is_rebuilt_from_the_log(damage: str) -> None:
    DAMAGE[damage][0]()
    assert "changes told" in run("rebuild_state")[0]
    assert run("check_log")[1] == ""
    assert run("rebuild_state")[0] == "State was right.\n"
