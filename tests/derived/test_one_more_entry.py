"""One more entry asks for work on its own screen alone, outside the push."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from frames import derived, log
from frames.models import Derived, Feed
from tests.derived.making import Bench

pytestmark = pytest.mark.django_db
KINDS = {"estimate", "lessons", "relaxing", "usual", "forecast", "chart"}


def shop(screens: int) -> tuple[Bench, list[str]]:
    """Screens that were read often enough for one more check not to teach the shop anything."""
    bench = Bench()
    return bench, more(bench, screens)


def more(bench: Bench, screens: int) -> list[str]:
    frames = [bench.frame() for _ in range(screens)]
    for frame in frames:
        bench.fit(frame)
        for value in (23, 22, 21.5, 21.4):
            bench.check(frame, value, value, 60)
    return frames


def rows() -> dict[str, dict]:
    return {row.key: row.body for row in Derived.objects.all()}


def test_only_the_bodies_of_its_screen_change(db: None) -> None:
    bench, frames = shop(6)
    place = derived.follow_up(None)[0]
    before = rows()
    bench.check(frames[2], 21.3, 21.3)
    place, written = derived.follow_up(place)
    changed = {key for key, body in rows().items() if body != before.get(key)}
    of_screen = {Derived.key_of(kind, bench.screens[frames[2]]) for kind in KINDS}
    assert changed
    assert changed <= of_screen
    assert written == len(changed)
    assert derived.follow_up(place)[1] == 0


def test_the_push_derives_nothing(db: None) -> None:
    bench, frames = shop(2)
    derived.follow_up(None)
    before, told = rows(), Feed.objects.filter(kind="forecast").count()
    entry = bench.entry("tension_check", {}, frames[0])
    entry["payload"] = bench.check(frames[1], 21, 21)["payload"]
    with CaptureQueriesContext(connection) as asked:
        (receipt,) = log.append([entry], device="test", received_at=bench.now)
    assert receipt.status == "stored"
    assert not [query for query in asked if "frames_derived" in query["sql"]]
    assert rows() == before
    assert Feed.objects.filter(kind="forecast").count() == told


def test_what_it_asks_of_the_database_does_not_grow_with_the_shop(db: None) -> None:
    bench, frames = shop(8)

    def cost() -> int:
        place = derived.follow_up(None)[0]
        bench.check(frames[0], 21.3, 21.3)
        with CaptureQueriesContext(connection) as asked:
            derived.follow_up(place)
        return len(asked)

    before = cost()
    more(bench, 16)
    assert cost() == before
