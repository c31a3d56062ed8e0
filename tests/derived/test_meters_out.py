"""Readings taken while their meter was out: marked, trusted less, and told to phones."""

import pytest

from frames import derived, log, things
from frames.derived.meters import studied
from frames.models import Derived
from tests.derived.making import VIEW, Bench
from tests.log.shop import VALUES

pytestmark = pytest.mark.django_db
HOUR = 60.0


class Metered(Bench):
    """A bench with a meter that is zeroed and read with."""

    def __init__(self) -> None:
        super().__init__()
        self.meter = things.create("meter", VALUES["meter"], "test")

    def zero(self, shown: float, minutes: float = 10) -> dict:
        subject = {"kind": "meter", "id": str(self.meter.pk)}
        payload = {"zero_n_per_cm": shown, "note": ""}
        return self.apart("meter_zeroed", payload, minutes, subject=subject)

    def apart(self, kind: str, payload: dict, minutes: float = 10, **more: object) -> dict:
        """An entry that is about no frame."""
        nowhere = {"frame": None, "screen": None} | more
        entry = self.entry(kind, payload, next(iter(self.screens)), minutes) | nowhere
        (receipt,) = log.append([entry], device="test", received_at=self.now)
        assert receipt.status == "stored", receipt
        return entry

    def read(self, frame: str, value: float, minutes: float = 10) -> dict:
        spots = [{"u": 0.5, "v": 0.5, "along_a_n_per_cm": value, "across_a_n_per_cm": value}]
        payload = {"meter": str(self.meter.pk), **VIEW, "stencil": "bare", "spots": spots}
        return self.save("tension_check", payload, frame, minutes)


@pytest.fixture
def bench() -> Metered:
    return Metered()


def body(bench: Bench, frame: str, kind: str = "forecast") -> dict:
    return Derived.objects.of_kind(kind).get(screen=bench.screens[frame]).body


def test_a_meter_found_out_throws_doubt_on_what_it_read_since_its_last_zero(bench: Metered) -> None:
    one, two = bench.frame(), bench.frame()
    for frame in (one, two):
        bench.fit(frame)
    early = bench.read(one, 21, 30 * HOUR)
    bench.zero(0.0)
    late = bench.read(one, 22.5, 5 * HOUR)
    bench.check(two, 21, 21)
    place = derived.follow_up(None)[0]
    assert body(bench, one)["doubted"] == []
    other = body(bench, two)
    bench.zero(1.5, 20 * HOUR)
    derived.follow_up(place)
    (doubted,) = body(bench, one)["doubted"]
    assert doubted["check"] == late["id"] != early["id"]
    assert "1.5 N/cm on glass" in doubted["message"]
    assert body(bench, two) == other


def test_a_zero_that_is_taken_back_takes_the_doubt_back(bench: Metered) -> None:
    frame = bench.frame()
    bench.fit(frame)
    bench.read(frame, 21, 30 * HOUR)
    wrong = bench.zero(3.0)
    place = derived.follow_up(None)[0]
    assert body(bench, frame)["doubted"]
    bench.apart("void", {"voids": wrong["id"], "reason": "misread"})
    derived.follow_up(place)
    assert body(bench, frame)["doubted"] == []


def test_a_reading_in_doubt_weighs_less(bench: Metered) -> None:
    """Two readings of 22, then one 2 N/cm higher: with a meter that was out the forecast stays."""
    frame = bench.frame()
    bench.fit(frame)
    for hours in (30, 40):
        bench.read(frame, 22, hours * HOUR)
    bench.zero(0.0)
    bench.read(frame, 24, 30 * HOUR)
    place = derived.follow_up(None)[0]
    before = body(bench, frame)["curve"][0]["mean"]
    bench.zero(2.0)
    derived.follow_up(place)
    assert body(bench, frame)["curve"][0]["mean"] < before - 0.3


def test_a_meter_far_out_leaves_a_forecast(bench: Metered) -> None:
    """One zero check with the meter lying on its side: its readings count for next to nothing."""
    frame = bench.frame()
    bench.fit(frame)
    bench.read(frame, 22, 30)
    bench.zero(50.0)
    derived.follow_up(None)
    assert body(bench, frame)["doubted"]
    assert not Derived.objects.of_kind("undone").exists()


def test_a_study_teaches_how_a_meter_repeats(bench: Metered) -> None:
    """Pairs 1 apart: square 0.5 for each of four pairs."""
    pair = [21.0, 22.0]
    bench.meter.studies = [{"on": "2026-11-25", "readings": [[pair, pair], [pair, pair]]}]
    bench.meter.save()
    assert studied() == [{"meter": str(bench.meter.pk), "square": 2.0, "freedom": 4}]
