"""State rows and feed after any batches in any order: the same as one replay of the log."""

from datetime import UTC, datetime
from itertools import pairwise, permutations
from random import Random
from typing import Any

import pytest
from django.db import connection, transaction
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from frames import audit, feed, log, rows, state_version
from frames.folding import fold
from frames.models import Entry, Feed, FrameState, MeterState, ScreenState
from frames.times import utc_text
from tests.log.making import DAY_MS, MINUTE_MS, Frame, Maker
from tests.log.strategies import Raw, logs, scraps

pytestmark = pytest.mark.django_db
NOW = datetime(2026, 11, 25, 12, tzinfo=UTC)
SLOW = settings(suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow])
Log = tuple[Maker, list[Raw]]


def push(*raws: Raw) -> None:
    receipts = log.append(list(raws), device="phone:1", received_at=NOW)
    assert all(receipt.status != "refused" for receipt in receipts)


def stored() -> dict[str, dict[str, Any]]:
    return {
        "frames": {str(row.frame): row.body for row in FrameState.objects.all()},
        "screens": {str(row.screen): row.body for row in ScreenState.objects.all()},
        "meters": {str(row.meter): row.body for row in MeterState.objects.all()},
    }


def told() -> dict[str, dict[str, Any]]:
    """State as a reader of the feed has it who saw every change once."""
    seen: dict[str, dict[str, Any]] = {"frames": {}, "screens": {}, "meters": {}}
    for change in feed.after(0, 10_000):
        if change.type == "state":
            seen[f"{change.kind}s"][str(change.object_id)] = change.body
    return {
        name: {id: body for id, body in bodies.items() if body is not None}
        for name, bodies in seen.items()
    }


def batches(entries: list[Raw], random: Random) -> list[list[Raw]]:
    cuts = sorted(random.sample(range(len(entries) + 1), random.randint(0, min(4, len(entries)))))
    edges = [0, *cuts, len(entries)]
    return [entries[a:b] for a, b in pairwise(edges)]


@pytest.fixture
def maker() -> Maker:
    return Maker(11, frames=2)


@pytest.fixture
def frame(maker: Maker) -> Frame:
    return maker.frames[0]


@SLOW
@given(logs(), st.randoms(use_true_random=False), st.booleans())
def test_rows_feed_and_replay_agree(case: Log, random: Random, in_order: bool) -> None:
    _, entries = case
    arriving = entries if in_order else random.sample(entries, len(entries))
    with transaction.atomic():
        for batch in batches(arriving, random):
            push(*batch)
        assert stored() == fold(entries)
        assert told() == stored()
        assert [f for f in audit.findings() if f.is_trouble] == []
        assert state_version.rebuild() == 0
        transaction.set_rollback(True)


@SLOW
@given(logs())
def test_entries_one_by_one_end_like_one_batch(case: Log) -> None:
    _, entries = case
    with transaction.atomic():
        for entry in entries:
            push(entry)
        assert stored() == fold(entries)
        transaction.set_rollback(True)


@settings(SLOW, max_examples=30)
@given(scraps())
def test_a_few_entries_end_alike_in_whatever_order_they_come(case: Log) -> None:
    _, entries = case
    for arriving in permutations(entries):
        with transaction.atomic():
            for entry in arriving:
                push(entry)
            assert stored() == fold(entries), [entry["kind"] for entry in arriving]
            transaction.set_rollback(True)


def test_a_row_goes_into_the_feed_only_if_it_changed(maker: Maker, frame: Frame) -> None:
    push(maker.fit(frame))
    before = feed.head().seq
    maker.now_ms += MINUTE_MS
    push(maker.on(frame, "note"))
    changes = [(change.type, change.kind) for change in feed.after(before, 10)]
    assert changes == [("entry", "note"), ("state", "frame"), ("state", "screen")]
    maker.now_ms += MINUTE_MS
    lost = maker.entry("note", {"note": "about nothing in particular"})
    push(lost)
    assert [(c.type, c.kind) for c in feed.after(before + 3, 10)] == [("entry", "note")]


def test_a_voided_mesh_brings_the_one_before_back_with_its_entries(
    maker: Maker, frame: Frame
) -> None:
    """Phones have dropped the entries of the first screen: they must get them again."""
    first = [maker.fit(frame), maker.on(frame, "tension_check"), maker.on(frame, "coated")]
    maker.now_ms += DAY_MS
    second = maker.fit(frame)
    push(*first, second)
    before = feed.head().seq
    maker.now_ms += DAY_MS
    void = maker.void(second)
    push(void)
    changes = feed.after(before, 100)
    again = {str(change.object_id) for change in changes if change.type == "entry"}
    assert again == {entry["id"] for entry in [*first, second, void]}
    gone = [change for change in changes if change.type == "state" and change.body is None]
    assert [str(change.object_id) for change in gone] == [second["id"]]
    assert ScreenState.objects.live().get().screen == Entry.objects.get(id=first[0]["id"]).id


def test_a_mesh_fitted_by_a_clock_ahead_comes_back_with_what_stands_before_it(
    maker: Maker, frame: Frame
) -> None:
    fitted = maker.fit(frame) | {"clock_offset_ms": DAY_MS}
    check, burst = maker.on(frame, "tension_check"), maker.on(frame, "burst")
    push(fitted, check, burst)
    before = feed.head().seq
    maker.now_ms += 2 * DAY_MS
    push(maker.void(burst))
    again = [str(c.object_id) for c in feed.after(before, 100) if c.type == "entry"]
    assert check["id"] in again
    assert ScreenState.objects.get().body["last_check"]["id"] == check["id"]


def test_a_voided_burst_brings_its_entries_back(maker: Maker, frame: Frame) -> None:
    entries = [maker.fit(frame), maker.on(frame, "tension_check"), maker.on(frame, "burst")]
    push(*entries)
    before = feed.head().seq
    maker.now_ms += DAY_MS
    push(maker.void(entries[2]))
    again = [str(c.object_id) for c in feed.after(before, 100) if c.type == "entry"][1:]
    assert sorted(again) == sorted(entry["id"] for entry in entries)


def test_a_mesh_logged_on_the_wrong_frame_moves_with_its_entries(maker: Maker) -> None:
    here, there = maker.frames
    fitted = maker.fit(here)
    maker.now_ms += MINUTE_MS
    check = maker.on(here, "tension_check")
    push(fitted, check)
    maker.now_ms += DAY_MS
    push(maker.correct(fitted, frame=there.id))
    screen = ScreenState.objects.get()
    assert str(screen.frame) == there.id
    assert screen.body["last_check"]["id"] == check["id"]
    assert {str(f.frame): f.screen for f in FrameState.objects.all()} == {
        here.id: None,
        there.id: screen.screen,
    }


def test_entries_that_name_a_screen_fitted_later_wait(maker: Maker, frame: Frame) -> None:
    fitted, check = maker.fit(frame), maker.on(frame, "tension_check")
    push(check)
    assert not ScreenState.objects.exists()
    assert check["id"] not in str(FrameState.objects.get().body)
    push(fitted)
    assert ScreenState.objects.get().body["last_check"]["id"] == check["id"]


@pytest.mark.parametrize("was_on_it", [True, False])
def test_an_entry_waits_for_its_mesh_where_a_correction_put_it(
    maker: Maker, frame: Frame, was_on_it: bool
) -> None:
    before = utc_text(maker.now_ms)
    maker.now_ms += MINUTE_MS
    older, fitted = maker.fit(frame), maker.fit(frame)
    maker.now_ms += MINUTE_MS
    check = maker.on(frame, "tension_check")
    if not was_on_it:
        check["screen"] = older["id"]
    push(check, maker.correct(check, screen=fitted["id"], occurred_at=before))
    push(fitted)
    assert ScreenState.objects.get().body["last_check"]["id"] == check["id"]
    assert state_version.rebuild() == 0


def test_an_act_may_come_before_what_it_acts_on(maker: Maker, frame: Frame) -> None:
    fitted, check = maker.fit(frame), maker.on(frame, "tension_check")
    void = maker.void(check)
    receipts = log.append([void, fitted], device="phone:1", received_at=NOW)
    assert "unknown_target" in receipts[0].flags
    push(check)
    assert ScreenState.objects.get().last_check_at is None


def test_a_late_entry_takes_its_place(maker: Maker, frame: Frame) -> None:
    fitted = maker.fit(frame)
    maker.now_ms += MINUTE_MS
    early = maker.on(frame, "tension_check")
    maker.now_ms += MINUTE_MS
    recent = maker.on(frame, "tension_check")
    push(fitted, recent)
    push(early)
    assert ScreenState.objects.get().body["last_check"]["id"] == recent["id"]


def test_columns_repeat_the_body(maker: Maker, frame: Frame) -> None:
    push(maker.fit(frame), maker.on(frame, "tension_check"), maker.on(frame, "exposed"))
    push(maker.on(frame, "moved"))
    screen, row = ScreenState.objects.get(), FrameState.objects.get()
    check = screen.body["last_check"]
    assert (screen.low, screen.high, screen.spread) == (
        check["low"],
        check["high"],
        check["spread"],
    )
    assert (screen.spots, str(screen.job)) == (len(check["spots"]), screen.body["job"])
    assert screen.stencil == "exposed"
    assert row.place_kind == row.body["place"]["to"]
    assert str(row.screen) == row.body["screen"]


def test_rebuilding_mends_what_differs_and_tells_only_that(maker: Maker, frame: Frame) -> None:
    push(*maker.entries(60), maker.fit(frame))
    right = stored()
    screen = ScreenState.objects.live().first()
    ScreenState.objects.filter(pk=screen.pk).update(body=screen.body | {"retensions": 99})
    before = feed.head().seq
    assert state_version.rebuild() == 1
    assert stored() == right
    (change,) = feed.after(before, 10)
    assert (change.type, change.object_id) == ("state", screen.pk)


def test_one_entry_more_costs_the_same_however_long_the_log(maker: Maker, frame: Frame) -> None:
    """Counted in statements, and in entries read: a step reads none of the log's."""
    push(maker.fit(frame))
    counts = []
    for length in (1, 200):
        for _ in range(length):
            maker.now_ms += MINUTE_MS
            push(maker.on(frame, "bolt_turns"))
        maker.now_ms += MINUTE_MS
        with transaction.atomic(), _Reads() as reads:
            push(maker.on(frame, "bolt_turns"))
        counts.append((reads.statements, reads.entries))
    assert counts[0] == counts[1]
    assert counts[1][1] == 0


def test_only_the_last_zero_of_a_meter_counts(maker: Maker) -> None:
    subject = {"kind": "meter", "id": maker.one("meter")}

    def zeroed(minute: int, zero: float) -> Raw:
        payload = {"zero_n_per_cm": zero, "note": ""}
        at_ms = maker.now_ms + minute * MINUTE_MS
        return maker.entry("meter_zeroed", payload, subject=subject, at_ms=at_ms)

    def shown() -> float:
        return MeterState.objects.get().body["zero_n_per_cm"]

    last = zeroed(30, 1)
    push(zeroed(10, 0.5), last)
    assert shown() == 1
    push(zeroed(20, 2))
    assert shown() == 1
    maker.now_ms += DAY_MS
    push(maker.void(last))
    assert shown() == 2
    push(zeroed(0, 3))
    with transaction.atomic(), _Reads() as reads:
        push(zeroed(10, 4))
    assert (shown(), reads.entries) == (4, 0)


class _Reads:
    """Counts statements and how many rows of the log are turned into entries."""

    def __enter__(self) -> "_Reads":
        self.statements = self.entries = 0
        self._wrapper = connection.execute_wrapper(self._count)
        self._wrapper.__enter__()
        self._from_db = Entry.from_db
        Entry.from_db = classmethod(self._read)
        return self

    def _count(self, execute: Any, *arguments: Any) -> Any:
        self.statements += 1
        return execute(*arguments)

    def _read(self, model: type, *arguments: Any) -> Any:
        self.entries += 1
        return self._from_db(*arguments)

    def __exit__(self, *error: object) -> None:
        Entry.from_db = self._from_db
        self._wrapper.__exit__(*error)


def test_rows_left_without_entries_are_told_to_be_gone(maker: Maker, frame: Frame) -> None:
    push(maker.fit(frame))
    stray = rows.frames([FrameState.objects.get().frame])
    FrameState.objects.create(frame=maker.new_id(), body=next(iter(stray.values())), folded_to=None)
    assert state_version.rebuild() == 1
    assert FrameState.objects.count() == 1
    assert Feed.objects.latest("seq").body is None
