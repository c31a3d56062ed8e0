"""Turn plans for tension, from a request to an answer."""

from typing import Any

import pytest

from frames import advice
from frames.entries import parse_payload
from frames.errors import BadInput
from tests.advice.screens import MESH, NINE, check, every, history, request, state, turns

LOW = history(
    ("bolt_turns", turns(**every(96))),
    ("nipped_up", {"bolts": []}),
    ("tension_check", check(18, 19)),
)
ODD = history(("bolt_turns", turns(**every(8))), ("tension_check", check(29, 16)))[1:]


def test_low_readings_are_brought_up_in_whole_steps_within_the_limit() -> None:
    answer = advice.tension(request(LOW))
    assert answer["status"] == "reaches"
    assert answer["rounds_left"] == 1
    assert {turned["bolt"][0] for turned in answer["bolts"]} == set("ABCD")
    assert all(t["turn_48ths"] % 8 == 0 and 0 < t["turn_48ths"] <= 96 for t in answer["bolts"])
    for spot in answer["predicted"]:
        for way in ("along_a", "across_a"):
            band = spot[way]
            assert band["low"] < band["value"] < band["high"]
            assert abs(band["value"] - 22) <= 1


def test_bolts_come_in_the_order_of_the_wrench() -> None:
    bolts = [t["bolt"] for t in advice.tension(request(LOW))["bolts"]]
    assert bolts == sorted(bolts)


def test_the_payload_is_an_entry_that_the_log_takes() -> None:
    answer = advice.tension(request(LOW))
    payload = answer["payload"]
    assert parse_payload("turn_plan", payload)
    assert payload["after"] == LOW[-1]["id"]
    assert payload["bolts"] == answer["bolts"]
    assert payload["predicted"] == answer["predicted"]


def test_an_estimate_and_what_follows_say_the_same_as_the_whole_history() -> None:
    """What a phone does with the feed, against the server's own replay."""
    later = history(
        ("bolt_turns", turns(**every(96))),
        ("nipped_up", {"bolts": []}),
        ("tension_check", check(15, 16)),
        ("bolt_turns", turns(**every(40))),
        ("nipped_up", {"bolts": [{"bolt": "A1", "turn_48ths": 0}]}),
        ("tension_check", check(18.5, 19)),
        ("bolt_turns", turns(**every(8))),
    )
    body = advice.estimate(request(later, seq=9, factors=None))
    assert body["after"] == later[6]["id"]
    whole = advice.tension(request(later))
    part = advice.tension(request(later[7:], estimate=body, screen=state(last_check=None)))
    assert part["bolts"] == whole["bolts"]
    for seen, wanted in zip(part["predicted"], whole["predicted"], strict=False):
        assert seen["along_a"]["value"] == pytest.approx(wanted["along_a"]["value"], abs=0.02)
    assert part["payload"]["estimate"] == {"seq": 9, "digest": body["digest"]}


def test_without_a_history_the_totals_and_the_last_check_must_do() -> None:
    bare = {"id": LOW[-1]["id"], "at": LOW[-1]["occurred_at"], "spots": check(18, 19)["spots"]}
    screen = state(turns=every(96), checks={"bare": bare, "coated": None}, last_check=bare)
    answer = advice.tension(request(None, screen=screen))
    assert answer["status"] == "reaches"
    assert len(answer["predicted"]) == len(NINE)


def test_readings_not_saved_yet_count() -> None:
    high = check(26, 26)["spots"]
    answer = advice.tension(request(LOW, readings=high))
    assert all(turned["turn_48ths"] < 0 for turned in answer["bolts"])


def test_in_tolerance_nothing_is_turned() -> None:
    answer = advice.tension(request(history(("tension_check", check(22, 22)))))
    assert (answer["status"], answer["bolts"], answer["payload"]) == ("leave", [], None)
    assert answer["rounds_left"] == 0


def test_before_any_reading_it_asks_for_one() -> None:
    answer = advice.tension(request(history()))
    assert answer["status"] == "blocked"
    assert "read at least the middle" in answer["message"]


def test_a_stencil_is_no_place_for_a_tension_plan_without_a_reason() -> None:
    coated = state(stencil="exposed")
    assert advice.tension(request(LOW, screen=coated))["status"] == "refused"
    since = [*LOW, *history(("coated", {"note": ""}), ("tension_check", over_stencil()))[1:]]
    options = {"purpose": "retension", "face": "squeegee", "near": "A", "override": "no time"}
    answer = advice.tension(request(since, screen=coated, options=options))
    assert answer["status"] in {"reaches", "towards"}
    assert answer["payload"]["override"] == "no time"
    assert answer["cautions"][0].startswith("Stencil on")


def over_stencil() -> dict[str, Any]:
    return check(19, 19.5, stencil="coated")


def test_readings_over_a_stencil_leave_the_estimate_alone() -> None:
    bare = advice.estimate(request(LOW, seq=3, factors=None))
    since = [*LOW, *history(("coated", {"note": ""}), ("tension_check", over_stencil()))[1:]]
    both = advice.estimate(request(since, seq=5, factors=None))
    assert both["mean"] == bare["mean"]


def test_seized_broken_and_hidden_bolts_stay() -> None:
    options = {"purpose": "retension", "face": "squeegee", "near": "A", "hidden": ["C1", "C2"]}
    stuck = {"bolts": {"A2": "seized", "B3": "broken"}}
    answer = advice.tension(request(LOW, options=options, frame_state=stuck))
    assert not {"C1", "C2", "A2", "B3"} & {turned["bolt"] for turned in answer["bolts"]}
    assert any("C1, C2: cannot be reached" in text for text in answer["limits"])


def test_clamps_hide_bolts_as_the_frame_lies() -> None:
    press = {"clamps": [{"side": "near"}, {"side": "left", "from_mm": 0, "to_mm": 250}]}
    options = {"purpose": "retension", "face": "squeegee", "near": "B"}
    answer = advice.tension(request(LOW, press=press, options=options))
    # with B near and the squeegee side up, A lies left; A5 is the near end of it
    hidden = {"B1", "B2", "B3", "B4", "B5", "A4", "A5"}
    assert not hidden & {turned["bolt"] for turned in answer["bolts"]}
    assert any("A4, A5, B1" in text for text in answer["limits"])


def test_the_cap_is_kept() -> None:
    tight = MESH | {"cap_n_per_cm": 22.5}
    answer = advice.tension(request(LOW, mesh=tight))
    assert answer["highest_n_per_cm"] < advice.tension(request(LOW))["highest_n_per_cm"]
    assert any("highest tension, 22.5" in text for text in answer["limits"])


def test_a_turn_nobody_logged_takes_the_trust_away() -> None:
    since = [*LOW, *ODD]
    body = advice.estimate(request(since, seq=9, factors=None))
    assert not body["trusted"]
    assert "a turn that was not logged" in body["why"]
    answer = advice.tension(request(since))
    assert "not trusted" in answer["message"]
    assert answer["why"] == body["why"]
    assert advice.tension(request(LOW))["why"] is None


def test_readings_that_nobody_has_saved_yet_say_why_as_well() -> None:
    *before, last = [*LOW, *ODD]
    answer = advice.tension(request(before, readings=last["payload"]["spots"]))
    assert answer["why"] == advice.tension(request([*before, last]))["why"]
    assert answer["why"]


def test_measured_stand_outs_bring_the_trust_back() -> None:
    stood = {"bolts": [{"bolt": bolt, "stand_out_mm": 12.0} for bolt in every(0)]}
    since = [*LOW, *ODD, *history(("stand_out", stood), ("tension_check", check(29, 16)))[1:]]
    assert advice.estimate(request(since, seq=9, factors=None))["trusted"]


def test_turns_for_register_are_taken_back() -> None:
    screen = state(register_turns={"B3": 16, "D2": -8})
    stuck = {"bolts": {"D2": "seized"}}
    answer = advice.even_up(request(LOW, screen=screen, frame_state=stuck))
    assert answer["status"] == "even_up"
    assert answer["bolts"] == [{"bolt": "B3", "turn_48ths": -16}]
    assert "D2: seized." in answer["limits"]
    assert parse_payload("turn_plan", answer["payload"]).purpose == "even_up"


def test_nothing_to_even_up() -> None:
    answer = advice.even_up(request(LOW))
    assert (answer["status"], answer["payload"]) == ("leave", None)


@pytest.mark.parametrize(
    ("changed", "field"),
    [
        ({"mesh": MESH | {"count_per_cm": 900}}, "count_per_cm"),
        ({"options": {"near": "E"}}, "near"),
        ({"options": {"hidden": ["A9"]}}, "bolt"),
        ({"frame": None}, "frame"),
    ],
)
def test_what_cannot_be_used_is_named(changed: dict[str, Any], field: str) -> None:
    with pytest.raises(BadInput) as caught:
        advice.tension(request(LOW, **changed))
    (problem,) = caught.value.problems
    assert problem.field == field
    assert problem.remedy


def test_evening_up_before_any_reading_says_nothing_of_the_tension() -> None:
    screen = state(register_turns={"B3": 16})
    answer = advice.even_up(request(history(), screen=screen))
    assert answer["bolts"] == [{"bolt": "B3", "turn_48ths": -16}]
    assert not any("N/cm" in text for text in answer["limits"])
