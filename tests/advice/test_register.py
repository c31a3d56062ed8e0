"""What to do about marks, and what given turns would do, from a request to an answer."""

import numpy as np
import pytest

from frames import advice
from frames.entries import parse_payload
from frames.errors import BadInput
from tests.advice.screens import SHOP, check, every, history, marks, request, state, turns

LOG = history(
    ("bolt_turns", turns(**every(120))),
    ("nipped_up", {"bolts": []}),
    ("tension_check", check(22, 22)),
)
LONG = marks((0.1, 0.5, -0.3, 0.0), (0.9, 0.5, 0.3, 0.0), (0.5, 0.9, 0.0, 0.0))
SHORT = marks((0.1, 0.5, 0.3, 0.0), (0.9, 0.5, -0.3, 0.0), (0.5, 0.9, 0.0, 0.0))
SHIFTED = marks((0.1, 0.5, 0.31, 0.0), (0.9, 0.5, 0.31, 0.0))
SIDE_ADJUSTER = {
    "name": "side guide",
    "right": 1.0,
    "away": 0.5,
    "moves": "right",
    "mm_per_division": 0.1,
    "plus": "clockwise",
    "minus": "anticlockwise",
    "division": "marks",
}


def ask(pulls: list, **changed: object) -> dict:
    options = {"purpose": "register", "face": "squeegee", "near": "A"}
    body = {"options": options, "pulls": pulls, "tolerance_mm": 0.1, "eye": "loupe"}
    return advice.register(request(LOG, **(body | changed)))


def test_small_errors_are_left_alone() -> None:
    answer = ask([marks((0.1, 0.5, 0.04, 0.0), (0.9, 0.5, 0.03, 0.0))])
    assert (answer["answer"], answer["verdict"]["word"]) == ("leave_alone", "small")
    assert (answer["bolts"], answer["payload"]) == ([], None)


def test_pulls_that_scatter_say_look_elsewhere() -> None:
    pulls = [marks((0.1, 0.5, dx, 0.0), (0.9, 0.5, -dx, 0.0)) for dx in (0.4, -0.4, 0.35)]
    answer = ask(pulls)
    assert (answer["answer"], answer["verdict"]["word"]) == ("leave_alone", "scatter")
    assert "lays" in answer["message"]


def test_a_short_image_is_mended_by_the_bolts_of_the_sides_that_pull_it() -> None:
    answer = ask([SHORT, SHORT])
    assert answer["answer"] == "bolts"
    assert {turned["bolt"][0] for turned in answer["bolts"]} == {"B", "D"}
    assert answer["after_mm"] < answer["before_mm"]
    assert answer["tension_change"]["high"] > 0
    assert all(spot["along_a"]["value"] > 22 for spot in answer["predicted"])
    assert parse_payload("turn_plan", answer["payload"]).purpose == "register"


def test_arrows_say_what_the_image_will_do() -> None:
    answer = ask([SHORT, SHORT])
    for mark, arrow, after in zip(*(answer[k] for k in ("marks", "arrows", "after")), strict=True):
        assert after["dx_mm"] == pytest.approx(mark["dx_mm"] + arrow["dx_mm"], abs=0.0011)
    left = [a["dx_mm"] for a in answer["image"] if a["u"] < 0.5]
    right = [a["dx_mm"] for a in answer["image"] if a["u"] > 0.5]
    assert len(answer["image"]) == 25
    assert max(left) < 0 < min(right)


def test_another_point_of_the_curve() -> None:
    answer = ask([SHORT, SHORT], bolts_wanted=4)
    assert 0 < len(answer["bolts"]) <= 4
    counts = [point["bolts"] for point in answer["curve"]]
    assert counts == sorted(counts, reverse=True)


def test_the_press_takes_a_shift_in_its_own_terms() -> None:
    press = {"clamps": [], "adjusters": [SIDE_ADJUSTER]}
    answer = ask([SHIFTED], press=press)
    assert answer["answer"] == "press"
    assert answer["press"]["adjusters"] == [
        {"name": "side guide", "divisions": 3.0, "unit": "marks", "way": "anticlockwise"}
    ]
    assert np.allclose([a["dx_mm"] for a in answer["arrows"]], -0.3)
    assert answer["payload"] is None


def test_what_the_key_colour_did_is_the_sheets() -> None:
    answer = ask([SHORT], key_marks=SHORT[:2])
    assert answer["answer"] == "bolts_cannot"
    assert "The sheet moved" in answer["message"]
    grown = {part["name"]: part["value"] for part in answer["sheet"]}
    # 0.6 mm over 480 mm between the marks
    assert grown["stretch_x"] == pytest.approx(-1.25, abs=0.01)


def test_bolts_under_clamps_cannot_mend_it() -> None:
    press = {"clamps": [{"side": side} for side in ("left", "right")], "adjusters": []}
    answer = ask([SHORT], press=press)
    assert answer["answer"] == "bolts_cannot"
    assert "must come out" in answer["message"]


def test_a_stencil_limits_how_far_the_image_may_move() -> None:
    coated = state(stencil="inspected")
    free = ask([LONG], screen=coated, shop=SHOP | {"stencil_move_limit_mm": 5})
    tight = ask([LONG], screen=coated, shop=SHOP | {"stencil_move_limit_mm": 0.1})

    def largest(answer: dict) -> float:
        return max(abs(a["dx_mm"]) for a in answer["image"])

    assert largest(tight) <= 0.1 + 0.06 < largest(free)


def test_a_frame_that_moves_less_than_foretold_is_turned_more() -> None:
    body = advice.estimate(request(LOG, seq=4, factors=None))
    half = {q: {"mean": 1.0, "sd": 0.1, "count": 3} for q in "xy"} | {
        "register": {"mean": 0.5, "sd": 0.1, "count": 3}
    }
    slow = body | {"factors": {"bare": half, "coated": half}}
    options = {"purpose": "register", "face": "squeegee", "near": "A", "step_48ths": 3}
    asked = {
        "options": options,
        "pulls": [marks((0.1, 0.5, 0.2, 0.0), (0.9, 0.5, -0.2, 0.0))],
        "tolerance_mm": 0.05,
        "screen": state(tolerance_n_per_cm=4),
    }
    total = [
        sum(t["turn_48ths"] for t in advice.register(request([], estimate=e, **asked))["bolts"])
        for e in (body, slow)
    ]
    assert total[1] > total[0]


def test_turns_nobody_made_yet() -> None:
    turned = [{"bolt": b, "turn_48ths": 48} for b in every(0) if b[0] in "BD"]
    answer = advice.what_if(request(LOG, turns=turned, model="strip"))
    assert all(value > 0 for row in answer["map"]["change_along_a"] for value in row)
    assert len(answer["map"]["along_a"]) == len(answer["map"]["v"]) == 9
    assert [m["dx_mm"] < 0 for m in answer["moved"][:2]] == [True, True]


def test_the_membrane_agrees_inside_and_shows_the_corners() -> None:
    turned = [{"bolt": b, "turn_48ths": 48} for b in ("A3", "B3")]
    strip, membrane = (
        np.array(advice.what_if(request(LOG, turns=turned, model=m))["map"]["along_a"])
        for m in ("strip", "membrane")
    )
    assert np.abs(strip - membrane)[2:7, 2:7].max() < 0.6
    assert np.abs(strip - membrane)[[0, 0, 8, 8], [0, 8, 0, 8]].max() > 0.6


def test_too_much_is_warned_of() -> None:
    answer = advice.what_if(request(LOG, turns=[{"bolt": "A3", "turn_48ths": 144}], model="strip"))
    assert any("More than 2 turns" in text for text in answer["warnings"])
    assert "A2" in answer["loose"]


def test_an_unknown_model_is_named() -> None:
    with pytest.raises(BadInput, match="strip, membrane"):
        advice.what_if(request(LOG, turns=[], model="plate"))
