"""What one phone sends is kept once, and no answer grows with all that was sent."""

import json
from importlib import import_module
from uuid import uuid4

import pytest
from django.apps import apps
from django.db.models import Sum, TextField
from django.db.models.functions import Cast, Length

from frames import audit, feed, state, state_version
from frames.models import Feed, FrameState
from shopfloor.api import snapshot, sync
from tests.api.cast import Phone
from tests.api.entries import check, entry, mesh_fitted, note

pytestmark = pytest.mark.django_db
LONG = "x" * 12_000
ONE_MORE = 20_000  # the change that did not fit any more, and what stands around them


def feed_bytes() -> int:
    size = Length(Cast("body", TextField()))
    return Feed.objects.annotate(size=size).aggregate(sum=Sum("size"))["sum"]


def of_no_screen(frame: str, screen: str) -> dict:
    payload = {"bolt": "A1", "state": "freed", "x": LONG}
    return entry("bolt_state", payload, frame=frame, screen=screen)


def test_entries_of_an_unknown_screen_are_kept_once(phone: Phone) -> None:
    frame, screen, sent = str(uuid4()), str(uuid4()), 0
    for _ in range(6):
        batch = [of_no_screen(frame, screen) for _ in range(10)]
        sent += len(json.dumps(batch))
        phone.push(*batch)
    assert feed_bytes() < 1.1 * sent
    assert len(json.dumps(FrameState.objects.get().body)) < 1000


def test_they_count_once_their_mesh_is_known(phone: Phone) -> None:
    """A minute earlier by the clock, and of two pushes before the mesh."""
    mesh = mesh_fitted(str(uuid4()))
    early = [check(mesh, clock_offset_ms=-60_000 - n) for n in range(2)]
    for one in early:
        phone.push(one)
    phone.push(mesh)
    now = state.replay([FrameState.objects.get().frame])
    assert now.screens[mesh["id"]]["last_check"]["id"] == early[0]["id"]
    assert [found for found in audit.findings() if found.is_trouble] == []
    assert state_version.rebuild() == 0


def test_what_rows_held_of_waiting_entries_is_taken_out(
    phone: Phone, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As an earlier version left it, in more rows than are read at once."""
    phone.push(*(note(frame=str(uuid4())) for _ in range(100)))
    for rows in (FrameState.objects.all(), Feed.objects.filter(type="state", kind="frame")):
        for row in rows:
            row.body["pending"] = {str(uuid4()): [note()]}
            row.save()
    Feed.objects.create(seq=0, type="state", kind="frame", object_id=uuid4(), body=None)
    migration = import_module("frames.migrations.0009_nothing_waits_in_rows")
    monkeypatch.setattr(migration, "AT_ONCE", 30)
    migration.take_out(apps, None)
    Feed.objects.filter(seq=0).delete()
    assert [found for found in audit.findings() if found.is_trouble] == []
    assert state_version.rebuild() == 0


def test_a_page_of_changes_is_bounded_in_bytes(phone: Phone) -> None:
    for _ in range(8):
        phone.epoch = phone.push(*(entry("note", {"note": "", "x": LONG}) for _ in range(15)))[
            "epoch"
        ]
    seen = []
    while True:
        response = phone.ask_changes(limit=1000)
        assert len(response.content) < sync.MOST_BYTES + ONE_MORE * 2
        answer = response.json()
        seen += [change["seq"] for change in answer["changes"]]
        phone.head = {key: answer["changes"][-1][key] for key in ("seq", "id")}
        if not answer["more"]:
            break
    assert seen == list(range(1, feed.head().seq + 1))


def test_a_change_of_any_size_still_comes(phone: Phone) -> None:
    phone.epoch = phone.push(note(), note())["epoch"]
    rows, more = feed.page(0, 10, 1)
    assert ([row.seq for row in rows], more) == ([1], True)
    rows, more = feed.page(1, 10, 1)
    assert ([row.seq for row in rows], more) == ([2], False)
    assert feed.page(2, 10, 1) == ([], False)


def test_a_page_of_the_snapshot_is_bounded_in_bytes(phone: Phone) -> None:
    frame = str(uuid4())
    for _ in range(8):
        phone.push(*(of_no_screen(frame, str(uuid4())) for _ in range(15)))
    items, following, pages = [], None, 0
    while pages == 0 or following:
        response = phone.get("sync/snapshot", after=following)
        assert len(response.content) < snapshot.MOST_BYTES + ONE_MORE * 2
        items += response.json()["items"]
        following, pages = response.json()["next"], pages + 1
    assert pages > 1
    assert sum(item["type"] == "entry" for item in items) == 120
