"""What is derived from the demo shop: every live screen, and no more than is due."""

import json
from collections.abc import Iterator
from datetime import datetime

import pytest
from django.core.management import call_command
from django.db import transaction
from pytest_django import DjangoDbBlocker

from frames import advice, derived
from frames.derived import estimates, sources
from frames.derived.checking import alike
from frames.entries import KINDS
from frames.models import Derived, Feed, FrameState, ScreenState

NOW = datetime.fromisoformat("2027-03-02T14:20:00.000+01:00")


@pytest.fixture(scope="module")
def demo(django_db_setup: None, django_db_blocker: DjangoDbBlocker) -> Iterator[None]:
    """Loaded and derived once: the tests only look."""
    with django_db_blocker.unblock(), transaction.atomic():
        call_command("load_demo", now=NOW, verbosity=0)
        derived.follow_up(None)
        yield
        transaction.set_rollback(True)


def all_screens() -> list[sources.Screen]:
    return list(sources.screens_of(FrameState.objects.values_list("frame", flat=True)))


def test_every_live_screen_has_an_estimate_and_no_other(demo: None) -> None:
    live = set(ScreenState.objects.live().values_list("screen", flat=True))
    assert set(Derived.objects.of_kind("estimate").values_list("screen", flat=True)) == live
    assert Derived.objects.of_kind("lessons").count() == ScreenState.objects.count()


def test_an_estimate_is_what_the_library_says(demo: None) -> None:
    for screen in all_screens():
        row = Derived.objects.of_kind("estimate").filter(screen=screen.id).first()
        if row:
            inputs = estimates.inputs(screen, row.body)
            again = advice.estimate(inputs | {"seq": row.seq})
            assert alike(again["mean"], row.body["mean"])
            assert alike(again["root"], row.body["root"])
            assert row.body["frame"] == str(screen.frame["id"])


def test_phones_are_told_what_stands(demo: None) -> None:
    for row in Derived.objects.of_kind("estimate"):
        told = Feed.objects.filter(type="state", kind="estimate", object_id=row.screen).last()
        assert told.body == row.body
    assert not Feed.objects.filter(kind="lessons").exists()


def test_an_estimate_stays_small_enough_for_a_phone(demo: None) -> None:
    for row in Derived.objects.of_kind("estimate"):
        assert len(json.dumps(row.body, separators=(",", ":"))) < 9000


def test_a_second_round_writes_nothing(demo: None) -> None:
    before = Feed.objects.count()
    assert derived.follow_up(None)[1] == 0
    assert Feed.objects.count() == before


def test_nothing_contradicts_itself(demo: None) -> None:
    assert list(derived.findings()) == []
    call_command("check_log")


def test_screens_come_with_their_own_entries(demo: None) -> None:
    for screen in all_screens():
        assert screen.entries[0]["kind"] == "mesh_fitted"
        assert screen.entries[0]["id"] == screen.id
        assert {e["kind"] for e in screen.entries} <= set(KINDS)
        checks = [e for e in screen.entries if e["kind"] == "tension_check"]
        last = screen.state["last_check"]
        assert (checks[-1]["id"] if checks else None) == (last and last["id"])


def test_stiffness_is_learned_near_what_the_demo_was_made_with(demo: None) -> None:
    """`demo_fixtures.generate.sheet` stretches thread of 7.5 GPa; mesh cards make it 7.68."""
    rows = Derived.objects.of_kind("estimate")
    means = [row.body["factors"]["bare"]["x"]["mean"] for row in rows]
    assert means
    assert all(0.85 < mean < 1.15 for mean in means)
    assert min(row.body["factors"]["bare"]["x"]["sd"] for row in rows) < 0.15


def test_plans_of_the_demo_came_out_as_foretold(demo: None) -> None:
    plans = [p for row in Derived.objects.of_kind("lessons") for p in row.body["plans"]]
    told = [plan for plan in plans if plan["of"]]
    assert len(told) >= 20
    within = sum(plan["within"] for plan in told) / sum(plan["of"] for plan in told)
    assert within > 0.8


def test_a_lock_that_slips_is_suspected(demo: None) -> None:
    """Frame 403 of the demo has wedge strips that slip."""
    doubted = [row.body for row in Derived.objects.of_kind("estimate") if not row.body["trusted"]]
    assert any("slipped" in body["why"] for body in doubted)
