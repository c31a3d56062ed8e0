"""Each kind of entry in one sentence."""

import pytest

from frames.entries import KINDS
from shopfloor.office.names import Names
from shopfloor.office.telling import tell

BOLTS = [{"bolt": "A1", "turn_48ths": 8}, {"bolt": "C4", "turn_48ths": -16}]
VIEW = {"face": "squeegee", "near": "A"}
SPOTS = [
    {"u": 0.5, "v": 0.5, "along_a_n_per_cm": 22, "across_a_n_per_cm": 21},
    {"u": 0.2, "v": 0.2, "along_a_n_per_cm": 20, "across_a_n_per_cm": None},
]
SAID = [
    ("mesh_fitted", {"mesh": "", "target_n_per_cm": 22, "tolerance_n_per_cm": 1.5},
     "Mesh fitted: . Target 22 ± 1½ N/cm"),
    ("target_set", {"target_n_per_cm": 20.3, "tolerance_n_per_cm": 2},
     "Target set to 20.3 ± 2 N/cm"),
    ("tension_check", {"stencil": "coated", "spots": SPOTS, **VIEW},
     "Checked coated: 20 to 21½ N/cm (2 spots, spread 1½)"),
    ("turn_plan", {"purpose": "register", "bolts": BOLTS, **VIEW},
     "Turn plan for register: A1 +1 flat; C4 −2 flats"),
    ("turn_plan", {"purpose": "even_up", "bolts": BOLTS[:1], "override": "no time", **VIEW},
     "Turn plan to even up: A1 +1 flat. Given with a stencil on, because: no time"),
    ("bolt_turns", {"purpose": "retension", "bolts": BOLTS, **VIEW},
     "Retensioned: A1 +1 flat; C4 −2 flats"),
    ("register_tweak", {"seen": "long_short", "cause": "lays", "bolts": [], "marks": [], **VIEW},
     "Tweaked: no bolts turned. Seen: long or short. Cause: lays"),
    ("after_marks", {"tweak": "x", "marks": [], "verdict": "in_register"},
     "After marks: in register"),
    ("after_marks", {"tweak": "x", "marks": [], "verdict": None}, "After marks: measured"),
    ("cause_found", {"tweak": "x", "cause": "film"}, "Cause found: film"),
    ("nipped_up", {"bolts": BOLTS[:1]}, "Nipped up: A1 +1 flat"),
    ("bolt_state", {"bolt": "A4", "state": "seized"}, "Bolt A4 seized"),
    ("coated", {"note": ""}, "Coated"),
    ("washed", {"note": "thinner"}, "Washed. thinner"),
    ("reclaimed", {"note": ""}, "Reclaimed"),
    ("mesh_removed", {"note": ""}, "Mesh removed"),
    ("exposed", {"job": "", "colour": ""}, "Exposed: job , "),
    ("inspected", {"passed": False, "note": "pinholes"}, "Inspected: not good. pinholes"),
    ("burst", {"where": "at_lock", "impressions": 12400, "note": ""},
     "Burst at the lock, at 12,400 impressions"),
    ("ok_sheet", {"signed": True, "colours": [""], "press": None, "note": "a shade darker"},
     "OK sheet signed: . a shade darker"),
    ("moved", {"to": "rack", "rack": "B4"}, "Moved to the rack, B4"),
    ("moved", {"to": "press", "press": None}, "Moved to a press"),
    ("moved", {"to": "lost"}, "Moved: lost"),
    ("impressions", {"mode": "counter", "count": 900}, "Counter at 900"),
    ("impressions", {"mode": "added", "count": 40}, "40 more impressions"),
    ("stretch_step", {"step": "inspected", "passed": False, "rock_mm": 2.5},
     "Frame looked over, not fit for use. rocks 2.5 mm"),
    ("stretch_step", {"step": "piece", "piece_a_mm": 780, "piece_b_mm": 930, "note": ""},
     "Piece of mesh torn. 780 × 930 mm"),
    ("stand_out", {"bolts": [{"bolt": "A1", "stand_out_mm": 14.25}]},
     "Bolts stand out, mm: A1 14.25"),
    ("meter_zeroed", {"zero_n_per_cm": -0.5, "note": ""}, "Meter zeroed; it showed −½ on glass"),
    ("note", {"note": "Creaks"}, "Creaks"),
]  # fmt: skip


@pytest.mark.parametrize(("kind", "payload", "sentence"), SAID)
def test_a_sentence(kind: str, payload: dict, sentence: str) -> None:
    assert tell({"kind": kind, "payload": payload}, Names({})) == sentence


@pytest.mark.parametrize(("payload", "sentence"), [
    ({"step": "inspected", "passed": True, "rock_mm": 0.508}, "Frame looked over. rocks 0.020 in"),
    ({"step": "piece", "piece_a_mm": 781.05, "piece_b_mm": 939.8},
     "Piece of mesh torn. 30¾ × 37 in"),
])  # fmt: skip
def test_lengths_are_told_in_the_unit_of_the_shop(payload: dict, sentence: str) -> None:
    assert tell({"kind": "stretch_step", "payload": payload}, Names({}, "in")) == sentence


def test_every_kind_is_told_here() -> None:
    assert {kind for kind, _, _ in SAID} == set(KINDS) - {"correction", "void"}


@pytest.mark.parametrize("kind", sorted(KINDS))
def test_a_payload_that_makes_no_sense_is_no_reason_to_fail(kind: str) -> None:
    raw = {"kind": kind, "payload": {"bolts": 3, "spots": "?"}}
    assert tell(raw, Names({}))


def test_turns_are_said_as_on_the_phone() -> None:
    raw = {"kind": "nipped_up", "payload": {"bolts": [{"bolt": "A1", "turn_48ths": 18}]}}
    said = [tell(raw, Names({}), step) for step in (6, 3, 8)]
    assert said == ["Nipped up: A1 +3/8 turn"] * 3
