"""What follows from new entries, voids, corrections, ended screens, damage."""

import pytest
from django.core.management import CommandError, call_command

from frames import derived, log, things
from frames.models import Derived, Feed
from tests.derived.making import Bench

pytestmark = pytest.mark.django_db


@pytest.fixture
def bench() -> Bench:
    return Bench()


def estimate(bench: Bench, frame: str) -> dict | None:
    row = Derived.objects.of_kind("estimate").filter(screen=bench.screens[frame]).first()
    return row and row.body


def settled(place: int | None = None) -> int:
    return derived.follow_up(place)[0]


def test_only_the_screen_that_something_happened_to_is_derived_anew(bench: Bench) -> None:
    one, two = bench.frame(), bench.frame()
    for frame in (one, two):
        bench.fit(frame)
        bench.check(frame, 15, 16)
    place = settled()
    before = estimate(bench, two)
    last = bench.check(one, 15.5, 16)
    place = settled(place)
    assert estimate(bench, one)["after"] == last["id"]
    assert estimate(bench, two) == before
    assert Feed.objects.filter(kind="estimate", object_id=bench.screens[two]).count() == 1
    assert derived.follow_up(place)[1] == 0


def test_what_says_nothing_of_tension_is_told_to_nobody(bench: Bench) -> None:
    frame = bench.frame()
    bench.fit(frame)
    bench.check(frame, 15, 16)
    place = settled()
    bench.save("note", {"note": "ink on side B"}, frame)
    assert derived.follow_up(place)[1] == 0


def test_a_void_takes_the_reading_out_again(bench: Bench) -> None:
    frame = bench.frame()
    bench.fit(frame)
    first = bench.check(frame, 15, 16)
    place = settled()
    before = estimate(bench, frame)
    wrong = bench.check(frame, 30, 31)
    place = settled(place)
    assert estimate(bench, frame)["after"] == wrong["id"]
    bench.save("void", {"voids": wrong["id"], "reason": "wrong frame"}, frame)
    settled(place)
    assert estimate(bench, frame)["after"] == first["id"]
    assert estimate(bench, frame)["mean"] == before["mean"]


def test_a_screen_that_ended_is_taken_from_phones(bench: Bench) -> None:
    frame = bench.frame()
    bench.fit(frame)
    bench.check(frame, 15, 16)
    place = settled()
    bench.save("mesh_removed", {"note": ""}, frame)
    settled(place)
    assert estimate(bench, frame) is None
    told = Feed.objects.filter(kind="estimate", object_id=bench.screens[frame]).last()
    assert told.body is None
    call_command("check_log")


def test_a_mesh_that_was_never_fitted_leaves_nothing(bench: Bench) -> None:
    frame = bench.frame()
    fitted = bench.fit(frame)
    bench.check(frame, 15, 16)
    place = settled()
    bench.save("void", {"voids": fitted["id"], "reason": "another frame"}, frame)
    settled(place)
    assert not Derived.objects.filter(screen=bench.screens[frame]).exists()
    call_command("check_log")


def test_another_thread_on_the_card_is_another_estimate(bench: Bench) -> None:
    frame = bench.frame()
    bench.fit(frame)
    bench.check(frame, 15, 16)
    place = settled()
    before = estimate(bench, frame)["digest"]
    things.change("mesh", bench.mesh.pk, {"thread_um": 40}, bench.mesh.version, "test")
    settled(place)
    assert estimate(bench, frame)["digest"] != before


def test_a_turn_nobody_logged_is_suspected(bench: Bench) -> None:
    frame = bench.frame()
    bench.fit(frame)
    bench.check(frame, 12, 12)
    bench.turn(frame, 24)
    gain = bench.gain(24)
    bench.check(frame, 12 + gain[0], 12 + gain[1])
    place = settled()
    assert estimate(bench, frame)["trusted"]
    bench.turn(frame, 24)
    bench.check(frame, 12 + 4 * gain[0], 12 + gain[1])
    settled(place)
    assert not estimate(bench, frame)["trusted"]
    assert "a turn that was not logged" in estimate(bench, frame)["why"]


def test_what_one_frame_taught_reaches_the_others(bench: Bench) -> None:
    """The mesh is made 30 % softer than its card: three frames are turned, a fourth learns."""
    frames = [bench.frame() for _ in range(4)]
    for frame in frames:
        bench.fit(frame)
        bench.check(frame, 10, 10)
    place = settled()
    assert estimate(bench, frames[3])["factors"]["bare"]["x"]["mean"] == 1
    for frame in frames[:3]:
        at = [10.0, 10.0]
        for _ in range(3):
            bench.turn(frame, 48)
            # a round loses some of what was there: 2 % is within common practice
            at = [0.98 * (a + g) for a, g in zip(at, bench.gain(48, 0.7), strict=True)]
            bench.check(frame, *at)
    settled(place)
    own = estimate(bench, frames[0])["factors"]["bare"]["x"]
    other = estimate(bench, frames[3])["factors"]["bare"]["x"]
    assert own["mean"] == pytest.approx(0.72, abs=0.06)
    assert own["mean"] < other["mean"] < 0.9
    assert own["sd"] < other["sd"] < 0.25
    assert (own["count"], other["count"]) == (3, 0)
    call_command("check_log")


def test_damage_is_found_and_mended(bench: Bench) -> None:
    frame = bench.frame()
    bench.fit(frame)
    bench.check(frame, 15, 16)
    settled()
    row = Derived.objects.of_kind("estimate").get()
    row.body = row.body | {"mean": [0.0] * len(row.body["mean"])}
    row.save()
    with pytest.raises(CommandError):
        call_command("check_log")
    assert any("estimate of screen" in about for about, _ in derived.findings())
    call_command("derive", anew=True)
    call_command("check_log")


def test_everything_can_be_thrown_away_and_derived_again(bench: Bench) -> None:
    frame = bench.frame()
    bench.fit(frame)
    bench.check(frame, 15, 16)
    settled()
    before = estimate(bench, frame)
    Derived.objects.all().delete()
    settled()
    assert estimate(bench, frame) == before
    call_command("check_log")


def test_an_entry_that_came_late_is_put_where_it_belongs(bench: Bench) -> None:
    frame = bench.frame()
    bench.fit(frame)
    bench.check(frame, 12, 12)
    early = bench.entry("bolt_turns", {}, frame)
    early["payload"] = bench.turn(frame, 24)["payload"]
    bench.check(frame, 16, 16)
    place = settled()
    first = estimate(bench, frame)
    log.append([early], device="test", received_at=bench.now)
    settled(place)
    now = estimate(bench, frame)
    assert now["after"] == first["after"]
    assert max(now["bar_mm"]) > max(first["bar_mm"])
    assert now["seq"] > first["seq"]
