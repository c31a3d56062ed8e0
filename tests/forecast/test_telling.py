"""The body that phones get, and what screens of the demo shop are forecast."""

from collections.abc import Iterator
from datetime import datetime

import pytest
from django.core.management import call_command
from django.db import transaction
from pytest_django import DjangoDbBlocker

from frames import derived, forecast
from frames.models import Derived, Feed, ScreenState
from frames.times import milliseconds
from tests.forecast.making import check, done, fitted, turns

pytestmark = pytest.mark.django_db
NOW = datetime.fromisoformat("2027-03-02T14:20:00.000+01:00")
DATES = ("resting_until", "coat_from", "in_tolerance_until", "retension_by")


def told(*entries: dict, tolerance: float = 1.5) -> dict:
    cut = forecast.segments([fitted(), turns(2, "stretch"), *entries])
    noise = forecast.noise(forecast.repeats(cut))
    usual = forecast.usual_body(forecast.pooled(cut, noise), cut[-1], noise)
    return forecast.tell(
        {
            "segment": cut[-1],
            "usual": usual,
            "tolerance_n_per_cm": tolerance,
            "rest_limit_n_per_cm": 0.5,
        }
    )


def test_dates_lie_in_their_bands_and_give_a_reason() -> None:
    body = told(check(4, 23.5), check(100, 22.0))
    for name in DATES:
        when = body[name]
        assert when["reason"].endswith(".")
        ends = [milliseconds(when[end]) for end in ("early", "at", "late") if when[end]]
        assert ends == sorted(ends)
    assert body["resting_until"]["at"] < body["retension_by"]["at"]


def test_before_the_first_check_only_the_rest_is_known() -> None:
    body = told()
    assert body["after"] is None
    assert body["resting_until"]["at"] > body["turned_at"]
    assert body["in_tolerance_until"]["at"] is None
    assert body["in_tolerance_until"]["reason"] == "There is no check since the last turn."
    assert body["curve"] == []


def test_a_jump_names_its_check_and_its_likely_causes() -> None:
    steady = [check(4, 23.0), check(100, 21.8), check(250, 21.5), check(400, 21.4)]
    fallen = check(500, 17.0)
    body = told(*steady, fallen)
    (jump,) = body["jumps"]
    assert jump["check"] == fallen["id"]
    assert jump["lasting"] is None
    assert jump["causes"][0] == "lock_slipped"
    assert "Read it again" in jump["message"]
    assert told(*steady)["jumps"] == []


def test_a_corner_that_fell_alone_points_at_lock_and_threads() -> None:
    steady = [check(4, 23.0), check(100, 21.8), check(250, 21.5), check(400, 21.4)]
    body = told(*steady, check(500, 19.0, drops={1: 9.0}))
    assert body["jumps"][0]["causes"] == ["lock_slipped", "threads_burst"]


def test_washing_and_coating_are_no_jump() -> None:
    coated = {"stencil": "coated"}
    body = told(
        check(4, 22.4),
        check(100, 21.0),
        done(110, "coated"),
        check(140, 22.5, **coated),
        done(200, "reclaimed"),
        check(230, 19.5),
    )
    assert body["jumps"] == []


@pytest.fixture(scope="module")
def demo(django_db_setup: None, django_db_blocker: DjangoDbBlocker) -> Iterator[None]:
    """Loaded and derived once: the tests only look."""
    with django_db_blocker.unblock(), transaction.atomic():
        call_command("load_demo", now=NOW, verbosity=0)
        derived.follow_up(None)
        yield
        transaction.set_rollback(True)


def test_every_live_screen_has_a_forecast_that_phones_are_told(demo: None) -> None:
    live = set(ScreenState.objects.live().values_list("screen", flat=True))
    rows = {row.screen: row for row in Derived.objects.of_kind("forecast")}
    assert rows.keys() == live
    for screen, row in rows.items():
        told = Feed.objects.filter(type="state", kind="forecast", object_id=screen).last()
        assert told.body == row.body
    assert not Feed.objects.filter(kind__in=("usual", "relaxing")).exists()


def test_a_forecast_ends_with_the_last_check_of_its_screen(demo: None) -> None:
    for row in Derived.objects.of_kind("forecast"):
        check = ScreenState.objects.get(screen=row.screen).body["last_check"]
        if row.body["after"]:
            assert row.body["after"] == check["id"]
        elif check:
            assert milliseconds(check["at"]) < milliseconds(row.body["turned_at"])


def test_the_same_log_gives_the_same_forecast(demo: None) -> None:
    for row in Derived.objects.of_kind("forecast"):
        usual = Derived.objects.get(pk=Derived.key_of("usual", row.screen)).body
        cut = Derived.objects.get(pk=Derived.key_of("relaxing", row.screen)).body["segments"][-1]
        screen = ScreenState.objects.get(screen=row.screen).body
        again = forecast.tell(
            {
                "segment": cut,
                "usual": usual,
                "tolerance_n_per_cm": screen["tolerance_n_per_cm"],
                "rest_limit_n_per_cm": row.body["rest_limit_n_per_cm"],
            }
        )
        assert again == {key: row.body[key] for key in again}


def test_an_ended_screen_goes_on_teaching_but_is_not_forecast(demo: None) -> None:
    ended = ScreenState.objects.exclude(ended_at=None).values_list("screen", flat=True)
    assert set(Derived.objects.of_kind("relaxing").values_list("screen", flat=True)) >= set(ended)
    assert not Derived.objects.of_kind("forecast").filter(screen__in=list(ended)).exists()
