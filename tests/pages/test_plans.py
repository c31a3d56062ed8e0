"""Turn plans in the office: what came of them, what was learned, what if, a reason to override."""

import re
from typing import Any

import pytest
from django.test import Client

from frames import derived
from frames.models import Derived, Entry, Frame, FrameState
from tests.pages.floor import VIEW, Floor

EVERY = [
    f"{side}{n}"
    for side, count in (("A", 3), ("B", 2), ("C", 3), ("D", 2))
    for n in range(1, count + 1)
]


def turned(floor: Floor, frame: Frame, turn: int, plan: str | None, hours: float) -> dict[str, Any]:
    bolts = [{"bolt": bolt, "turn_48ths": turn} for bolt in EVERY]
    payload = {"purpose": "retension", "bolts": bolts, "plan": plan, **VIEW}
    return floor.tell("bolt_turns", payload, frame, hours=hours)


def planned(floor: Floor, frame: Frame, foretold: float, hours: float, **more: Any) -> dict:
    band = {"value": foretold, "low": foretold - 1, "high": foretold + 1}
    payload = {
        "purpose": "retension",
        "bolts": [{"bolt": bolt, "turn_48ths": 24} for bolt in EVERY],
        "predicted": [{"u": 0.5, "v": 0.5, "along_a": band, "across_a": band}],
        "predicted_marks": [],
        "status": "reaches",
        "rounds_left": 1,
        "limits": ["At most 2 turns tightened per round: A1."],
        **VIEW,
    }
    return floor.tell("turn_plan", payload | more, frame, hours=hours)


@pytest.fixture
def followed(floor: Floor) -> Frame:
    """A frame with a plan that foretold 22 and read 21."""
    frame = floor.frame(7)
    floor.fit(frame)
    floor.check(frame, 19, hours=3)
    plan = planned(floor, frame, 22, hours=2.5)
    turned(floor, frame, 24, plan["id"], hours=2)
    floor.check(frame, 21, hours=1)
    derived.follow_up(None)
    return frame


def text_of(client: Client, address: str) -> str:
    answer = client.get(address)
    assert answer.status_code == 200, answer.content[:500]
    return " ".join(answer.content.decode().split())


def test_what_came_of_plans(sol: Client, followed: Frame) -> None:
    text = text_of(sol, "/office/plans/")
    assert "1 plan foretold 2 readings. 100% fell within the band" in text
    assert "1 N/cm lower than foretold" in text
    assert "as planned" in text
    assert followed.code in text


def test_plans_of_another_mesh_are_left_out(sol: Client, floor: Floor, followed: Frame) -> None:
    other = floor.make("mesh", **{"name": "32-70", "material": "polyester", "count_per_cm": 32,
        "count_per_inch": 81, "thread_um": 70, "cap_n_per_cm": 32, "target_n_per_cm": 25,
        "tolerance_n_per_cm": 2})  # fmt: skip
    assert "No plan in the log yet" in text_of(sol, f"/office/plans/?mesh={other.pk}")
    assert followed.code in text_of(sol, f"/office/plans/?mesh={floor.mesh.pk}")


def test_one_plan(sol: Client, followed: Frame) -> None:
    entry = Entry.objects.get(kind="turn_plan")
    text = text_of(sol, f"/office/plans/{entry.pk}/")
    assert "Turned as planned" in text
    assert "2 of 2 readings fell within what was foretold." in text
    assert "On average they read 1.0 N/cm lower than foretold." in text
    assert "Squeegee side up, A near you." in text
    assert "At most 2 turns tightened per round: A1." in text
    assert "21.0 to 23.0" in text


def test_a_plan_for_the_print_side_says_that_it_is_mirrored(sol: Client, floor: Floor) -> None:
    frame = floor.screen(floor.frame(8), 19)
    plan = planned(floor, frame, 22, hours=1, face="print", near="C")
    derived.follow_up(None)
    said = "Print side up, C near you: mirrored against the squeegee side."
    assert said in text_of(sol, f"/office/plans/{plan['id']}/")
    assert said in text_of(sol, f"/office/frames/{frame.pk}/plan/?face=print&near=C")


def test_a_plan_nobody_turned(sol: Client, floor: Floor) -> None:
    frame = floor.screen(floor.frame(8), 19)
    plan = planned(floor, frame, 22, hours=1)
    assert sol.get(f"/office/plans/{plan['id']}/").status_code == 404
    derived.follow_up(None)
    assert "Not turned" in text_of(sol, f"/office/plans/{plan['id']}/")


def test_no_plan_yet(sol: Client, floor: Floor) -> None:
    assert "No plan in the log yet" in text_of(sol, "/office/plans/")


def test_what_was_learned(sol: Client, followed: Frame) -> None:
    text = text_of(sol, "/office/plans/learned/")
    assert followed.code in text
    row = Derived.objects.of_kind("estimate").get()
    assert f"{row.body['factors']['bare']['x']['mean']:.2f}" in text
    assert "trusted" in text


def test_a_turn_nobody_logged_is_said_on_the_frame_page(sol: Client, floor: Floor) -> None:
    frame = floor.frame(12)
    floor.fit(frame)
    floor.check(frame, 15, 15, 15, 15, 15, hours=4)
    turned(floor, frame, 8, None, hours=3)
    floor.check(frame, 15, 15, 15, 15, 15, hours=2)
    turned(floor, frame, 8, None, hours=1.5)
    floor.check(frame, 28, 12, 28, 12, 28, hours=1)
    derived.follow_up(None)
    assert "The count of turns is not trusted." in text_of(sol, f"/office/frames/{frame.pk}/")
    assert "Turns not trusted" in text_of(sol, "/office/plans/learned/")


def test_what_if_shows_the_whole_mesh(sol: Client, followed: Frame) -> None:
    text = text_of(sol, f"/office/frames/{followed.pk}/what-if/?bolts=A2+%2B13+B1+-1")
    assert "After A2 +13 flats; B1 −1 flat." in text
    assert text.count('class="shade-') == 2 * 81
    assert "Tension along A over the whole mesh, N/cm; side C on top, D at the left" in text
    assert 'class="shade-10"' in text
    assert 'class="shade-0"' in text
    assert ("Will hang loose" in text) != ("No bolt will hang loose" in text)
    assert "More than 2 turns in a round: A2." in text


def test_without_turns_it_shows_what_is(sol: Client, followed: Frame) -> None:
    assert "The tension as it is now" in text_of(sol, f"/office/frames/{followed.pk}/what-if/")


def test_a_bolt_that_is_not_there_is_named(sol: Client, followed: Frame) -> None:
    text = text_of(sol, f"/office/frames/{followed.pk}/what-if/?bolts=tight")
    assert "is not a bolt and a number" in text


def test_a_bolt_that_the_frame_lacks_is_refused(sol: Client, followed: Frame) -> None:
    text = text_of(sol, f"/office/frames/{followed.pk}/what-if/?bolts=A1+%2B2+Z9+-1")
    assert f"{followed.code} has no bolt Z9. It has A1–A3, B1, B2, C1–C3, D1, D2." in text
    for wrong in ('class="shade-', "After A1", "as it is now, edges", "Nothing to work", "saved"):
        assert wrong not in text
    assert "Not worked out yet" in text


def test_nothing_to_work_from(sol: Client, floor: Floor) -> None:
    frame = floor.frame(9)
    assert "Nothing to work from" in text_of(sol, f"/office/frames/{frame.pk}/what-if/")
    assert "no mesh on this frame" in text_of(sol, f"/office/frames/{frame.pk}/plan/")


def test_a_plan_at_the_desk_is_saved_in_the_log(sol: Client, floor: Floor) -> None:
    frame = floor.screen(floor.frame(10), 18, 18, 18, 18, 18)
    page = f"/office/frames/{frame.pk}/plan/"
    text = text_of(sol, page)
    assert "Save this plan in the log" in text
    assert "Rounds left" in text
    assert re.search(r"<dt>Side A</dt><dd>A1(–A3|, A2)? [+−]", text)
    answer = sol.post(page, {"face": "print", "near": "C", "override": ""})
    assert answer.status_code == 302
    entry = Entry.objects.get(kind="turn_plan")
    assert entry.device == "desk:sol"
    assert entry.raw["payload"]["near"] == "C"
    assert entry.screen_id == FrameState.objects.get(pk=frame.pk).screen


def test_a_stencil_needs_a_reason(sol: Client, floor: Floor) -> None:
    frame = floor.screen(floor.frame(11), 18, 18, 18, 18, 18)
    floor.expose(frame, hours=1)
    page = f"/office/frames/{frame.pk}/plan/"
    text = text_of(sol, page)
    assert "Emulsion is on" in text
    assert "Why turn with a stencil on?" in text
    assert "Save this plan" not in text
    sol.post(page, {"face": "print", "near": "A", "override": " "})
    assert not Entry.objects.filter(kind="turn_plan").exists()
    sol.post(page, {"face": "print", "near": "A", "override": "a test print, thrown away"})
    plan = Entry.objects.get(kind="turn_plan").raw["payload"]
    assert plan["override"] == "a test print, thrown away"
    derived.follow_up(None)
    assert "a test print, thrown away" in text_of(
        sol, f"/office/plans/{Entry.objects.get(kind='turn_plan').pk}/"
    )


def test_what_cannot_be_worked_out_is_said(sol: Client, floor: Floor) -> None:
    """A hole that a card was changed to afterwards; asked before anybody wrote turns down."""
    frame = floor.frame(7)
    floor.screen(frame, 20)
    Frame.objects.filter(pk=frame.pk).update(pitch_mm=900)
    text = text_of(sol, f"/office/frames/{frame.pk}/what-if/")
    assert "This cannot be worked out." in text
    assert "Nothing to work from" not in text


def test_the_frame_page_says_why_there_is_no_forecast(sol: Client, floor: Floor) -> None:
    frame = floor.frame(7)
    floor.screen(frame, 20)
    aims = {"target_n_per_cm": 0.001, "tolerance_n_per_cm": 1}
    floor.tell("target_set", aims, frame, hours=0.5)
    derived.follow_up(None)
    text = text_of(sol, f"/office/frames/{frame.pk}/")
    assert "Its forecast cannot be worked out. target_n_per_cm is 0.001." in text


def test_a_burst_mesh_is_taken_off_not_turned(sol: Client, floor: Floor) -> None:
    frame = floor.screen(floor.frame(13), 18, 18, 18, 18, 18)
    floor.expose(frame, hours=1.5)
    floor.on_press(frame, hours=1)
    floor.tell("burst", {"where": "middle"}, frame, hours=0.5)
    page = f"/office/frames/{frame.pk}/plan/"
    text = text_of(sol, page)
    assert "The mesh burst; take it off. Stop. Isolate before reaching in." in text
    assert "Emulsion is on" not in text
    assert "Work it out" not in text
    sol.post(page, {"face": "squeegee", "near": "A", "override": "in spite of it"})
    assert not Entry.objects.filter(kind="turn_plan").exists()
    floor.tell("moved", {"to": "rack", "rack": "R 3"}, frame, hours=0.2)
    text = text_of(sol, page)
    assert "The mesh burst; take it off." in text
    assert "Isolate" not in text
