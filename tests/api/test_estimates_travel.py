"""Estimates reach phones by the snapshot and by the changes, and leave them when a screen ends."""

import pytest

from frames import derived
from frames.models import Derived
from tests.api.cast import Phone
from tests.derived.making import Bench

pytestmark = pytest.mark.django_db


def estimates(items: list[dict]) -> list[tuple[str, dict | None]]:
    return [
        (i["object"], i["body"]) for i in items if (i["type"], i["kind"]) == ("state", "estimate")
    ]


def test_by_the_snapshot(phone: Phone) -> None:
    bench = Bench()
    frame = bench.frame()
    bench.fit(frame)
    bench.check(frame, 15, 16)
    derived.follow_up(None)
    row = Derived.objects.of_kind("estimate").get()
    assert estimates(phone.take_snapshot()) == [(str(bench.screens[frame]), row.body)]


def test_by_the_changes(phone: Phone) -> None:
    bench = Bench()
    frame = bench.frame()
    bench.fit(frame)
    place, _ = derived.follow_up(None)
    phone.take_snapshot()
    check = bench.check(frame, 15, 16)
    place, _ = derived.follow_up(place)
    [(screen, body)] = estimates(phone.take_changes())
    assert screen == str(bench.screens[frame])
    assert body["after"] == check["id"]
    bench.save("mesh_removed", {"note": ""}, frame)
    derived.follow_up(place)
    assert estimates(phone.take_changes()) == [(screen, None)]


def test_what_a_phone_was_told_gives_it_a_plan(phone: Phone) -> None:
    """The estimate goes out by the feed and comes back in a request, as it came."""
    bench = Bench()
    frame = bench.frame()
    bench.fit(frame)
    bench.check(frame, 15, 16)
    derived.follow_up(None)
    asked = derived.request(bench.screens[frame], options={"purpose": "stretch"})
    assert asked["estimate"]["mean"]
    assert asked["since"] == []
    answer = phone.post("advice/tension", asked)
    assert answer.status_code == 200, answer.content
    assert answer.json()["status"] in {"reaches", "towards"}
    assert answer.json()["payload"]["estimate"]["digest"] == asked["estimate"]["digest"]


def test_a_late_estimate_lends_its_factors_alone(phone: Phone) -> None:
    bench = Bench()
    frame = bench.frame()
    bench.fit(frame)
    first = bench.check(frame, 15, 16)
    derived.follow_up(None)
    bench.save("void", {"voids": first["id"], "reason": "another frame"}, frame)
    asked = derived.request(bench.screens[frame])
    assert asked["estimate"]["mean"] is None
    assert [entry["kind"] for entry in asked["since"]] == ["mesh_fitted"]
    answer = phone.post("advice/tension", asked)
    assert answer.status_code == 200, answer.content
    assert answer.json()["status"] == "blocked"
