"""The demo shop: what the log says about it is what its own account says."""

import json
from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command
from django.db import transaction
from pytest_django import DjangoDbBlocker

from demo_fixtures.generate.__main__ import FOLDER, files
from frames import flags
from frames.conditions import condition
from frames.models import Entry, Frame, FrameState, Job, Refused, ScreenState, Shop
from frames.times import EPOCH, MILLISECOND
from tests.log.accounts import account, place

NOW = datetime.fromisoformat("2027-03-02T14:20:00.000+01:00")
EXPECTED = json.loads((FOLDER / "expected.json").read_text(encoding="utf-8"))


@pytest.fixture(scope="module")
def demo(django_db_setup: None, django_db_blocker: DjangoDbBlocker) -> Iterator[None]:
    """Loaded once: the tests only look."""
    with django_db_blocker.unblock(), transaction.atomic():
        call_command("load_demo", now=NOW, verbosity=0)
        yield
        transaction.set_rollback(True)


@pytest.mark.parametrize("name", files())
def test_files_are_what_the_generator_writes(name: str) -> None:
    assert (FOLDER / name).read_text(encoding="utf-8") == files()[name], (
        "run `python -m demo_fixtures.generate`"
    )


def test_everything_arrives(demo: None) -> None:
    assert Entry.objects.count() == EXPECTED["entries"]
    assert not Refused.objects.exists()
    counts = {kind: Entry.objects.filter(kind=kind).count() for kind in EXPECTED["kinds"]}
    assert counts == EXPECTED["kinds"]


@pytest.mark.parametrize("told", EXPECTED["frames"], ids=lambda told: str(told["number"]))
def test_frames_stand_as_told(demo: None, told: dict) -> None:
    frame = FrameState.objects.get(frame=Frame.objects.get(number=told["number"]).id)
    last = told["screens"][-1]
    assert str(frame.screen) == last["screen"]
    assert frame.body["awaiting_removal"] == (last["ended"] == "burst")
    assert place(frame) == told["place"]
    now = (NOW - EPOCH) // MILLISECOND
    said = condition(
        ScreenState.objects.get(screen=frame.screen).body, Shop.objects.get().body(), now
    )
    assert said["word"] == told["condition"], said["reason"]


@pytest.mark.parametrize(
    "told",
    [screen for frame in EXPECTED["frames"] for screen in frame["screens"]],
    ids=lambda told: told["screen"],
)
def test_screens_stand_as_told(demo: None, told: dict) -> None:
    assert account(told["screen"]) == told


def test_it_shows_what_goes_wrong_in_a_shop(demo: None) -> None:
    raised = {flag for entry in Entry.objects.flagged() for flag in entry.flags}
    assert raised == {"clock_unset"} <= flags.MEANINGS.keys()
    late = [e for e in Entry.objects.all() if e.received_at - e.corrected_at > timedelta(days=1)]
    assert [entry.kind for entry in late] == ["washed"]
    seized = FrameState.objects.get(frame=Frame.objects.get(number=410).id).body["bolts"]
    assert seized == {"B4": "seized"}
    unfollowed = [s.body["tweaks"]["open"] for s in ScreenState.objects.all()]
    assert sum(map(len, unfollowed)) == 2


def test_nothing_happens_after_the_day_of_loading_and_jobs_are_due_around_it(demo: None) -> None:
    assert Entry.objects.latest("corrected_at").corrected_at < NOW
    assert NOW - Entry.objects.latest("corrected_at").corrected_at < timedelta(hours=3)
    due = [job.due for job in Job.objects.filter(done=False)]
    assert all(NOW.date() <= day <= NOW.date() + timedelta(days=14) for day in due)


def test_a_book_with_a_shop_is_left_alone(demo: None) -> None:
    with pytest.raises(CommandError, match="needs an empty one"):
        call_command("load_demo", now=NOW)
    assert Shop.objects.count() == 1


def test_a_log_of_another_version_is_not_loaded_in_part(db: None, tmp_path: Path) -> None:
    (tmp_path / "things.json").write_text("[]", encoding="utf-8")
    line = {"device": "demo", "received": {"minutes_ago": 1}, "entry": {"id": "unreadable"}}
    (tmp_path / "log.jsonl").write_text(json.dumps(line), encoding="utf-8")
    with pytest.raises(CommandError, match="does not fit this version"):
        call_command("load_demo", folder=tmp_path, now=NOW)
