"""Advice over the API: the library's own answers, and what does not fit is named."""

from typing import Any

import pytest
from django.contrib.auth.models import User

from frames import advice
from frames.models import Entry, Feed
from tests.advice.screens import check, every, history, marks, request, turns
from tests.api.cast import APP, Phone, signed_in
from tests.api.error_shape import assert_problem

pytestmark = pytest.mark.django_db

LOG = history(
    ("bolt_turns", turns(**every(96))),
    ("nipped_up", {"bolts": []}),
    ("tension_check", check(18, 19)),
)
PULLS = [marks((0.1, 0.5, 0.3, 0.0), (0.9, 0.5, -0.3, 0.0))]
REGISTER = {"pulls": PULLS, "tolerance_mm": 0.1}


def test_a_plan_for_a_phone_is_the_librarys(phone: Phone) -> None:
    body = request(LOG)
    answer = phone.post("advice/tension", body)
    assert answer.status_code == 200, answer.content
    assert answer.json() == advice.tension(body)


def test_the_screen_room_may_ask_too(sol: User) -> None:
    answer = signed_in(sol).post(
        "/api/v1/advice/what-if",
        request(LOG, turns=[{"bolt": "A3", "turn_48ths": 16}], model="membrane"),
        content_type="application/json",
        headers=APP,
    )
    assert answer.status_code == 200, answer.content
    assert len(answer.json()["map"]["along_a"]) == 9


def test_register_over_the_api(phone: Phone) -> None:
    answer = phone.post("advice/register", request(LOG, **REGISTER)).json()
    assert answer["answer"] == "bolts"
    assert answer["payload"]["purpose"] == "register"


def test_corners_over_the_api(phone: Phone) -> None:
    body = request(LOG, options={"purpose": "stretch"})
    answer = phone.post("advice/corners", body).json()
    assert answer == advice.corners(body)
    assert answer["read"]


def test_evening_up_over_the_api(phone: Phone) -> None:
    body = request(LOG, options={"purpose": "even_up"})
    body["screen"] = body["screen"] | {"register_turns": {"B2": 8}}
    answer = phone.post("advice/tension", body).json()
    assert answer["bolts"] == [{"bolt": "B2", "turn_48ths": -8}]


def test_an_estimate_goes_out_and_comes_back(phone: Phone) -> None:
    body = advice.estimate(request(LOG, seq=4, factors=None))
    answer = phone.post("advice/tension", request([], estimate=body))
    assert answer.status_code == 200, answer.content
    assert answer.json()["bolts"] == advice.tension(request(LOG))["bolts"]


def test_nothing_is_stored(phone: Phone) -> None:
    phone.post("advice/tension", request(LOG))
    assert not Entry.objects.exists()
    assert not Feed.objects.exists()


def without(key: str) -> dict[str, Any]:
    return {name: value for name, value in request(LOG).items() if name != key}


def deep(path: str, value: Any) -> dict[str, Any]:
    """The request with another value at a path."""
    body = request(LOG)
    *outer, last = path.split(".")
    inner = body
    for key in outer:
        inner[key] = dict(inner[key])
        inner = inner[key]
    inner[last] = value
    return body


@pytest.mark.parametrize(
    ("body", "field"),
    [
        (without("frame"), "frame"),
        (deep("frame.pitch_mm", 50), "frame.pitch_mm"),
        (deep("frame.bolts", {"A": [100, 100]}), "bolts.A2"),
        (deep("mesh.material", "silk"), "mesh.material"),
        (deep("options.near", "E"), "options.near"),
        (deep("options.hidden", ["Z1"]), "options.hidden.0"),
        (deep("options.hidden", ["A17"]), "bolt"),
        (deep("screen.turns", {"A1": "two"}), "screen.turns.A1"),
        (request(history(("tension_check", check(0, 19)))), "since.1"),
        (request(history(*[("washed", {"note": ""})] * 501)), "since"),
        (request(LOG, readings=[{"u": 0.5, "v": 2}]), "readings.0.v"),
    ],
)
def test_what_does_not_fit_is_named(phone: Phone, body: dict[str, Any], field: str) -> None:
    problem = assert_problem(phone.post("advice/tension", body), 422, "invalid")
    assert field in {error["field"] for error in problem["errors"]}
    assert all(error["remedy"] for error in problem["errors"])


@pytest.mark.parametrize("broken", ["mean", "root", "bar_mm"])
def test_an_estimate_that_was_cut_is_refused(phone: Phone, broken: str) -> None:
    whole = advice.estimate(request(LOG, seq=4, factors=None))
    body = request([], estimate=whole | {broken: whole[broken][:-1]})
    problem = assert_problem(phone.post("advice/tension", body), 422, "invalid")
    assert problem["errors"][0]["field"].startswith("estimate")


def test_a_page_elsewhere_cannot_ask(sol: User) -> None:
    answer = signed_in(sol).post(
        "/api/v1/advice/tension", request(LOG), content_type="application/json"
    )
    assert_problem(answer, 403, "cross-site")
