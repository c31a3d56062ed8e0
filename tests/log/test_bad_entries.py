"""What a person is told about an entry that cannot be taken: field, value, remedy."""

import copy
from collections.abc import Callable
from datetime import UTC, datetime
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from frames import audit, log
from frames.entries import KINDS, parse
from frames.errors import Unreadable
from frames.models import Refused
from tests.log import payloads
from tests.log.making import Maker

NOW = datetime(2026, 11, 25, tzinfo=UTC)
TIME = "Give date and time with zone, for example 2026-11-25T10:42:07.123+01:00."
ID = "Choose it from the list or scan it again: this is not an id."
MISSING = "Fill this in: it is missing."
SCAN = "Scan the frame's label or type its code first."
SPOT = "Give at least one reading at every spot, or leave the spot out."
Raw = dict[str, Any]


def entry(kind: str, **changes: Any) -> Raw:
    """A good entry of this kind, its payload changed as given."""
    maker = Maker(3)
    frame = maker.frames[0]
    fitted = maker.fit(frame)
    raw = {
        "mesh_fitted": lambda: fitted,
        "meter_zeroed": maker.zeroed,
        "correction": lambda: maker.correct(fitted),
        "void": lambda: maker.void(fitted),
    }.get(kind, lambda: maker.on(frame, kind))()
    raw = copy.deepcopy(raw)
    raw["payload"] |= changes
    return raw


def spot(**changes: Any) -> list[Raw]:
    good = {"u": 0.5, "v": 0.5, "along_a_n_per_cm": 20, "across_a_n_per_cm": None}
    return [good | changes]


def bolts(**changes: Any) -> list[Raw]:
    return [{"bolt": "A1", "turn_48ths": 8} | changes]


ENVELOPE = [
    ({"id": "417"}, "id", ID),
    ({"id": "0189F0E0-0000-7000-8000-000000000001"}, "id", ID),
    ({"install_id": None}, "install_id", ID),
    ({"device_seq": 0}, "device_seq", "Update the app: entries are numbered from 1."),
    ({"device_seq": True}, "device_seq", "Update the app: entries are numbered from 1."),
    ({"kind": ""}, "kind", "Update the app: the kind of this entry is missing."),
    ({"v": 0}, "v", "Update the app: the version of this entry must be 1 or more."),
    ({"occurred_at": "25.11.2026 10:42"}, "occurred_at", TIME),
    ({"occurred_at": 1764063727}, "occurred_at", TIME),
    (
        {"clock_offset_ms": 10**15},
        "clock_offset_ms",
        "Set the phone's clock, then save it again.",
    ),
    ({"operator": "Ilka"}, "operator", ID),
    ({"screen": 5}, "screen", ID),
    ({"frame": None, "screen": None}, "frame", SCAN),
    ({"subject": {"kind": "van", "id": "x"}}, "subject.kind", "Choose one of: job, press, meter."),
    (
        {"scanned": "x" * 501},
        "scanned",
        "Scan again: the scanned text is longer than 500 characters.",
    ),
    ({"payload": None}, "payload", "Update the app: this entry carries nothing."),
]
PAYLOADS = [
    ("mesh_fitted", {"mesh": "120-34"}, "payload.mesh", ID),
    ("mesh_fitted", {"warp": "north"}, "payload.warp", "Choose one of: x, y, unknown."),
    (
        "mesh_fitted",
        {"target_n_per_cm": 0},
        "payload.target_n_per_cm",
        "Give a tension above 0, up to 150 N/cm.",
    ),
    (
        "target_set",
        {"tolerance_n_per_cm": 0},
        "payload.tolerance_n_per_cm",
        "Give a tolerance above 0, up to 50 N/cm.",
    ),
    ("tension_check", {"spots": []}, "payload.spots", SPOT),
    ("tension_check", {"spots": spot(along_a_n_per_cm=None)}, "payload.spots", SPOT),
    (
        "tension_check",
        {"spots": spot(along_a_n_per_cm=151)},
        "payload.spots.0.along_a_n_per_cm",
        "Give a tension above 0, up to 150 N/cm.",
    ),
    (
        "tension_check",
        {"spots": spot(along_a_n_per_cm="21,5")},
        "payload.spots.0.along_a_n_per_cm",
        "Give a tension above 0, up to 150 N/cm.",
    ),
    (
        "tension_check",
        {"spots": spot(u=1.01)},
        "payload.spots.0.u",
        "Give a place between 0 and 1 of the inside size.",
    ),
    ("tension_check", {"near": "E"}, "payload.near", "Choose one of: A, B, C, D."),
    ("tension_check", {"stencil": "wet"}, "payload.stencil", "Choose one of: bare, coated."),
    ("bolt_turns", {"bolts": []}, "payload.bolts", "Give at least one bolt that was turned."),
    (
        "bolt_turns",
        {"bolts": bolts(bolt="A0")},
        "payload.bolts.0.bolt",
        "Name the bolt by side and number, for example A1.",
    ),
    (
        "bolt_turns",
        {"bolts": bolts(turn_48ths=8.5)},
        "payload.bolts.0.turn_48ths",
        "Give a turn in 48ths, at most ten turns (480) either way.",
    ),
    (
        "nipped_up",
        {"bolts": bolts(turn_48ths=481)},
        "payload.bolts.0.turn_48ths",
        "Give a turn in 48ths, at most ten turns (480) either way.",
    ),
    (
        "register_tweak",
        {"marks": [{"u": 0.1, "v": 0.1, "dx_mm": 51, "dy_mm": 0}]},
        "payload.marks.0.dx_mm",
        "Give how far it printed off, at most 50 mm either way.",
    ),
    (
        "register_tweak",
        {"seen": "blurred"},
        "payload.seen",
        "Choose one of: long_short, one_corner, all_one_way, skipped.",
    ),
    ("after_marks", {"tweak": None}, "payload.tweak", ID),
    (
        "cause_found",
        {"cause": "ghosts"},
        "payload.cause",
        "Choose one of: sheet, mesh, press, lays, film, unknown.",
    ),
    ("bolt_state", {"state": "rusty"}, "payload.state", "Choose one of: seized, broken, freed."),
    (
        "coated",
        {"note": "x" * 2001},
        "payload.note",
        "Write the note in at most 2000 ordinary characters.",
    ),
    ("exposed", {"job": "2611"}, "payload.job", ID),
    ("inspected", {"passed": "yes"}, "payload.passed", "Answer yes or no."),
    (
        "burst",
        {"where": "everywhere"},
        "payload.where",
        "Choose one of: middle, edge, corner, at_lock, unknown.",
    ),
    (
        "moved",
        {"to": "rack", "rack": "x" * 61},
        "payload.rack",
        "Shorten the rack place to 60 characters.",
    ),
    ("moved", {"station": 0}, "payload.station", "Give the station's number, from 1."),
    (
        "impressions",
        {"count": -1},
        "payload.count",
        "Give a whole number of impressions, 0 or more.",
    ),
    (
        "stand_out",
        {"bolts": [{"bolt": "A1", "stand_out_mm": 101}]},
        "payload.bolts.0.stand_out_mm",
        "Give the stand-out in mm, from -20 to 100.",
    ),
    (
        "ok_sheet",
        {"colours": []},
        "payload.colours",
        "Choose at least one colour that is on the OK sheet.",
    ),
    ("ok_sheet", {"signed": "yes"}, "payload.signed", "Answer yes or no."),
    (
        "meter_zeroed",
        {"zero_n_per_cm": 51},
        "payload.zero_n_per_cm",
        "Give what the meter showed on glass, within 50 N/cm of 0.",
    ),
    ("correction", {"occurred_at": "yesterday"}, "payload.occurred_at", TIME),
    ("correction", {"corrects": "that one"}, "payload.corrects", ID),
    ("void", {"voids": None}, "payload.voids", ID),
    (
        "note",
        {"note": "a\x00b"},
        "payload.note",
        "Write the note in at most 2000 ordinary characters.",
    ),
]


def faults(raw: Any) -> list[tuple[str, str]]:
    with pytest.raises(Unreadable) as caught:
        parse(raw)
    return [(problem.field, problem.remedy) for problem in caught.value.problems]


@pytest.mark.parametrize(("changes", "field", "remedy"), ENVELOPE)
def test_what_is_wrong_with_an_envelope(changes: Raw, field: str, remedy: str) -> None:
    assert (field, remedy) in faults(entry("coated") | changes)


@pytest.mark.parametrize(("kind", "changes", "field", "remedy"), PAYLOADS)
def test_what_is_wrong_with_a_payload(kind: str, changes: Raw, field: str, remedy: str) -> None:
    assert faults(entry(kind, **changes)) == [(field, remedy)]


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_can_be_read_and_needs_its_payload(kind: str) -> None:
    good = entry(kind)
    assert parse(good).known
    assert parse(good).raw == good
    assert all(remedy == MISSING for _, remedy in faults(good | {"payload": {}}))


@pytest.mark.parametrize("key", entry("coated"))
def test_every_key_must_be_there(key: str) -> None:
    raw = entry("coated")
    del raw[key]
    assert faults(raw) == [(key, MISSING)]


def test_mesh_and_meter_must_be_named() -> None:
    assert faults(entry("mesh_fitted") | {"frame": None}) == [
        ("frame", "Scan the frame that the mesh was fitted to.")
    ]
    assert faults(entry("meter_zeroed") | {"subject": None}) == [
        ("subject", "Choose the meter that was zeroed.")
    ]
    other = {"kind": "press", "id": entry("ok_sheet")["subject"]["id"]}
    assert faults(entry("ok_sheet") | {"subject": other}) == [
        ("subject", "Choose the job whose OK sheet it is.")
    ]


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("payload", "field", "remedy"),
    [
        (
            {"note": "x" * 20_000},
            "entry",
            "Split it into several entries: one may have 16384 bytes.",
        ),
        (
            {"note": float("nan")},
            "payload",
            "Enter it again: it holds a number or a character that cannot be stored.",
        ),
        (
            {"note": 2**60},
            "payload",
            "Enter it again: it holds a number or a character that cannot be stored.",
        ),
        *(
            (
                {"note": {"far": [number]}},
                "payload",
                "Enter it again: it holds a number or a character that cannot be stored.",
            )
            for number in (1e22, -1e300, float(2**53))
        ),
        (
            {"note": "\ud800"},
            "payload",
            "Enter it again: it holds a number or a character that cannot be stored.",
        ),
        (
            {"note": "a\x00b"},
            "payload",
            "Enter the text again: it holds a character that cannot be stored.",
        ),
    ],
)
def test_what_cannot_be_stored_is_refused_even_if_its_kind_is_unknown(
    payload: Raw, field: str, remedy: str
) -> None:
    raw = entry("coated") | {"kind": "foreseen", "payload": payload}
    (receipt,) = log.append([raw], device="phone:1", received_at=NOW)
    assert receipt.id == raw["id"]
    assert (receipt.problem["field"], receipt.problem["remedy"]) == (field, remedy)
    assert Refused.objects.get().reason == receipt.problem


@pytest.mark.django_db
def test_numbers_come_back_from_the_database_as_they_were_sent() -> None:
    numbers = [0.1 + 0.2, 1e-7, 5e-324, -0.0, 18.0, 1e15, 123456789.123456789, 2**53 - 1]
    raw = entry("coated") | {"kind": "foreseen", "payload": {"numbers": numbers}}
    (receipt,) = log.append([raw], device="phone:1", received_at=NOW)
    assert receipt.status == "stored"
    assert [finding for finding in audit.findings() if finding.is_trouble] == []


@pytest.mark.django_db
def test_a_backslash_before_u0000_is_ordinary_text() -> None:
    raw = entry("coated", note="C:\\u0000 and \\\\u0000")
    (receipt,) = log.append([raw], device="phone:1", received_at=NOW)
    assert receipt.status == "stored"


@pytest.mark.django_db
def test_a_correction_must_fit_the_entry_that_it_corrects() -> None:
    maker = Maker(5)
    frame = maker.frames[0]
    fitted, check = maker.fit(frame), maker.on(frame, "tension_check")
    misfits = [
        maker.correct(check, payload=payloads.exposed(maker, frame)),
        maker.correct(fitted, frame=None),
        maker.correct(check, frame=None, screen=None),
    ]
    receipts = log.append([fitted, check, *misfits], device="phone:1", received_at=NOW)
    assert [r.status for r in receipts] == ["stored", "stored", "refused", "refused", "refused"]
    assert [r.problem["field"] for r in receipts[2:]] == ["payload.face", "frame", "frame"]


json_like = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(),
    lambda inner: st.lists(inner) | st.dictionaries(st.text(), inner),
    max_leaves=20,
)


@pytest.mark.django_db
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(json_like)
def test_whatever_is_sent_is_answered(sent: Any) -> None:
    (receipt,) = log.append([sent], device="phone:1", received_at=NOW)
    assert receipt.status == "refused"
    assert receipt.problem["remedy"]


@pytest.mark.django_db
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.sampled_from(sorted(KINDS)), st.data())
def test_a_damaged_entry_is_stored_or_refused_with_a_remedy(kind: str, data: st.DataObject) -> None:
    raw = entry(kind)
    where: Callable = data.draw(st.sampled_from([lambda r: r, lambda r: r["payload"]]))
    part = where(raw)
    part[data.draw(st.sampled_from(sorted(part)))] = data.draw(json_like)
    (receipt,) = log.append([raw], device="phone:1", received_at=NOW)
    assert receipt.status in ("stored", "duplicate") or receipt.problem["remedy"]
