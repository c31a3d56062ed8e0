"""The work list: what to check, retension or fit, in the order in which jobs need it."""

from datetime import timedelta

import pytest
from django.test import Client
from django.utils import timezone

from frames import derived, things
from frames.models import Frame
from tests.pages.floor import JOB, Floor
from tests.pages.reading import words

pytestmark = pytest.mark.django_db
ROOM = "/office/screen-room/"


def job(floor: Floor, number: str, days: int, *colours: str) -> None:
    day = timezone.localdate() + timedelta(days=days)
    size = {"inside_a_mm": 1000, "inside_b_mm": 800}
    made = floor.make("job", **JOB | size | {"number": number, "due": str(day)})
    for place, name in enumerate(colours, 1):
        values = {"job": str(made.pk), "position": place, "name": name}
        floor.make("colour", **values, mesh=str(floor.mesh.pk))


def told(client: Client) -> list[tuple[str, str, str]]:
    """(what, frame, colour it serves)."""
    found = client.get(ROOM, {"days": "all"}).context["tasks"]
    return [(t.act, t.stand.frame.code[:5], t.colour.name if t.colour else "") for t in found]


def test_each_frame_asks_for_what_it_needs(sol: Client, floor: Floor) -> None:
    floor.screen(floor.frame(1), 22)
    floor.screen(floor.frame(2), 18)
    floor.fit(floor.frame(3))
    torn = floor.screen(floor.frame(4), 22)
    floor.tell("burst", {"where": "middle", "note": ""}, torn, hours=0.5)
    floor.frame(5)
    assert told(sol) == [("check", "F0003", ""), ("retension", "F0002", ""), ("fit", "F0004", "")]


def test_what_a_job_waits_for_comes_first_and_takes_least_work(sol: Client, floor: Floor) -> None:
    floor.screen(floor.frame(1), 18)
    floor.fit(floor.frame(2))
    floor.frame(3)
    floor.frame(4, inside_a_mm=1200)
    floor.screen(floor.frame(5), 22)
    job(floor, "9", 5, "late one", "later one")
    job(floor, "8", 1, "first", "second")
    assert told(sol) == [
        ("check", "F0002", "second"),
        ("retension", "F0001", "late one"),
        ("fit", "F0003", "later one"),
    ]
    assert "Fit mesh 77-48 polyester F0003" in words(sol.get(ROOM, {"days": "all"}))


def test_a_stencil_is_never_retensioned_away(sol: Client, floor: Floor) -> None:
    frame = floor.screen(floor.frame(1), 22)
    floor.expose(frame)
    made = floor.reading(frame, 18, hours=0.5)
    made["payload"]["stencil"] = "coated"
    floor.send([made])
    [(act, code, _)] = told(sol)
    assert (act, code) == ("check", "F0001")
    assert "make another screen" in words(sol.get(ROOM))


@pytest.mark.parametrize(
    ("values", "act", "said"),
    [
        ((18,), "retension", "Retension"),
        ((26,), "let_off", "Let off"),
        ((22, 20.5, 23.5, 22, 22), "level", "Level"),
    ],
)
def test_what_is_off_is_planned_and_never_called_evening_up(
    sol: Client, floor: Floor, values: tuple[float, ...], act: str, said: str
) -> None:
    """Evening up takes register turns back: a phone would find none on these."""
    change = {"spread_limit_n_per_cm": 2.5}
    things.change("shop", floor.shop.pk, change, floor.shop.version, "desk:mara")
    floor.screen(floor.frame(1), *values)
    [task] = sol.get(ROOM, {"days": "all"}).context["tasks"]
    assert (task.act, str(task.said)) == (act, said)
    assert task.why.endswith(" Plan the turns.")
    assert "Even up" not in words(sol.get(ROOM))


def test_frames_that_are_away_ask_for_nothing(sol: Client, floor: Floor) -> None:
    frame = floor.screen(floor.frame(1), 18)
    floor.tell("moved", {"to": "repair"}, frame, hours=0.5)
    assert told(sol) == []
    assert "Nothing to check" in words(sol.get(ROOM))


def test_a_reading_that_relaxation_cannot_explain_is_read_again(sol: Client, floor: Floor) -> None:
    frame: Frame = floor.frame(1)
    floor.fit(frame, hours=400)
    for hours, value in ((399, 23.0), (300, 22.1), (200, 22.0), (100, 21.9), (2, 16.5)):
        floor.check(frame, value, value, hours=hours)
    derived.follow_up(None)
    assert told(sol) == [("check", "F0001", "blue")]
    assert "Read it again" in words(sol.get(ROOM))


def test_a_screen_that_rests_is_coated_later(sol: Client, floor: Floor) -> None:
    """It counts as ready to come for a job, but not among those to coat now."""
    frame = floor.frame(1)
    floor.fit(frame, hours=1)
    floor.check(frame, 22.5, hours=0.5)
    derived.follow_up(None)
    job(floor, "8", 1, "first")
    assert told(sol) == []
    [group] = sol.get(ROOM).context["groups"]
    assert [s.condition["word"] for s in group.free.others] == ["resting"]
    shop = floor.shop
    things.change("shop", shop.pk, {"rest_limit_n_per_cm": 5.0}, shop.version, "desk:mara")
    derived.follow_up(None)
    [group] = sol.get(ROOM).context["groups"]
    assert [s.condition["word"] for s in group.free.bare] == ["due"]
