"""One screen that cannot be derived keeps no other one waiting, and is told as such."""

import logging

import pytest

from frames import derived, log, things
from frames.derived import undone
from frames.derived.meters import zeros_of
from frames.models import Derived, Feed
from tests.derived.making import Bench
from tests.log.shop import VALUES

pytestmark = pytest.mark.django_db
# a day outside any life of a mesh, in the years that an entry may name
FAR = {"occurred_at": "2200-01-01T00:00:00.000Z"}
THIN = 0.001  # N/cm: a target that the log takes and no mesh can hold


@pytest.fixture
def bench() -> Bench:
    return Bench()


def kinds(bench: Bench, frame: str) -> set[str]:
    rows = Derived.objects.filter(screen=bench.screens[frame]).exclude(kind=undone.KIND)
    return set(rows.values_list("kind", flat=True))


def why(bench: Bench, frame: str) -> list[str]:
    screen = bench.screens[frame]
    return undone.of_screens([screen]).get(screen, [])


def spoil(bench: Bench, frame: str) -> dict:
    payload = {"target_n_per_cm": THIN, "tolerance_n_per_cm": THIN}
    return bench.save("target_set", payload, frame)


def two_frames(bench: Bench) -> tuple[str, str]:
    frames = bench.frame(), bench.frame()
    for frame in frames:
        bench.fit(frame)
        bench.check(frame, 15, 16)
    return frames


def test_the_rest_goes_on(bench: Bench) -> None:
    bad, good = two_frames(bench)
    place, _ = derived.follow_up(None)
    spoil(bench, bad)
    last = bench.check(good, 15.5, 16)
    reached, _ = derived.follow_up(place)
    assert reached > place
    assert (
        Derived.objects.of_kind("estimate").get(screen=bench.screens[good]).body["after"]
        == (last["id"])
    )
    assert "forecast" in kinds(bench, good)
    assert why(bench, good) == []


def test_what_cannot_be_is_kept_as_such_and_taken_from_phones(bench: Bench) -> None:
    bad, _ = two_frames(bench)
    place, _ = derived.follow_up(None)
    assert "forecast" in kinds(bench, bad)
    spoil(bench, bad)
    place, _ = derived.follow_up(place)
    assert "forecast" not in kinds(bench, bad)
    assert Feed.objects.filter(kind="forecast", object_id=bench.screens[bad]).last().body is None
    (said,) = why(bench, bad)
    assert "forecast cannot be worked out. target_n_per_cm is 0.001." in said
    assert list(derived.findings()) == []


def test_it_is_tried_again_only_with_other_entries(bench: Bench) -> None:
    bad, _ = two_frames(bench)
    wrong = spoil(bench, bad)
    place, _ = derived.follow_up(None)
    assert derived.follow_up(None)[1] == 0
    bench.save("void", {"voids": wrong["id"], "reason": "a slip"}, bad)
    derived.follow_up(place)
    assert why(bench, bad) == []
    assert "forecast" in kinds(bench, bad)


def test_a_mesh_that_was_never_fitted_leaves_no_trouble_behind(bench: Bench) -> None:
    frame = bench.frame()
    fitted = bench.fit(frame)
    bench.check(frame, 15, 16)
    spoil(bench, frame)
    place, _ = derived.follow_up(None)
    assert why(bench, frame)
    bench.save("void", {"voids": fitted["id"], "reason": "another frame"}, frame)
    derived.follow_up(place)
    assert not Derived.objects.filter(screen=bench.screens[frame]).exists()


def test_the_log_names_the_screen_and_the_kind_of_error(
    bench: Bench, caplog: pytest.LogCaptureFixture
) -> None:
    bad, _ = two_frames(bench)
    spoil(bench, bad)
    with caplog.at_level(logging.WARNING, logger="frames"):
        derived.follow_up(None)
    lines = {record.getMessage() for record in caplog.records}
    assert lines
    end = f"of screen {bench.screens[bad]} cannot be derived: InputFault"
    assert all(line.endswith(end) for line in lines)


def test_a_check_of_another_century_stops_nobody(bench: Bench) -> None:
    bad, good = two_frames(bench)
    place, _ = derived.follow_up(None)
    spots = [{"u": 0.5, "v": 0.5, "along_a_n_per_cm": 20, "across_a_n_per_cm": 20}]
    payload = {"face": "squeegee", "near": "A", "stencil": "bare", "spots": spots}
    bench.save("tension_check", payload, bad, **FAR)
    last = bench.check(good, 14, 14)
    derived.follow_up(place)
    row = Derived.objects.of_kind("forecast").get(screen=bench.screens[good])
    assert row.body["after"] == last["id"]
    assert why(bench, bad) == []
    assert {"estimate", "forecast"} <= kinds(bench, bad)


def test_only_a_meters_own_zero_checks_speak_of_it(bench: Bench) -> None:
    """A zero check that names a screen brings along whatever was entered about that screen."""
    one, two = (things.create("meter", VALUES["meter"] | {"name": n}, "test") for n in "12")
    frame = bench.frame()
    bench.fit(frame)
    for meter, shown in ((one, 0.1), (two, 3.0)):
        subject = {"kind": "meter", "id": str(meter.pk)}
        bench.save("meter_zeroed", {"zero_n_per_cm": shown, "note": ""}, frame, subject=subject)
    check = bench.check(frame, 15, 15)
    assert [zero for _, zero in zeros_of(one.pk)] == [0.1]
    assert [zero for _, zero in zeros_of(two.pk)] == [3.0]
    read = bench.entry("tension_check", check["payload"] | {"meter": str(one.pk)}, frame)
    log.append([read], device="test", received_at=bench.now)
    derived.follow_up(None)
    assert {"relaxing", "forecast"} <= kinds(bench, frame)
    assert why(bench, frame) == []


def test_a_change_that_no_stiffness_explains_teaches_nothing(bench: Bench) -> None:
    """Ten turns of every bolt, and the meter shows hardly anything of it: one of them is wrong."""
    frame = bench.frame()
    bench.fit(frame)
    bench.check(frame, 10, 10)
    bench.turn(frame, 480)
    bench.check(frame, 11, 11)
    bench.turn(frame, 480)
    bench.turn(frame, 480)
    bench.check(frame, 150, 0.001)
    derived.follow_up(None)
    (lessons,) = Derived.objects.of_kind("lessons").values_list("body", flat=True)
    assert lessons["observations"] == []
    assert "estimate" in kinds(bench, frame)
    assert why(bench, frame) == []
