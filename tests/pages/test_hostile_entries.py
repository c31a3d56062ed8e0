"""Whatever a phone let in pushes: every page stays, the book stays in order, copies are shown."""

import json
from collections.abc import Iterator
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from frames import audit, state, state_version, things
from frames.models import Entry, Frame, Refused
from tests.api.cast import Phone, enrolled
from tests.api.entries import entry, nested, note
from tests.pages import hostile
from tests.pages.floor import Floor
from tests.pages.reading import words

pytestmark = pytest.mark.django_db
STEADY = settings(
    max_examples=10,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
LISTS = ("frames", "screens", "entries", "jobs", "meshes")


@pytest.fixture
def frame(floor: Floor) -> Frame:
    made = floor.frame(417)
    floor.expose(floor.screen(made, 21, 22))
    floor.on_press(made)
    floor.tweak(made)
    return made


def pages(floor: Floor, frame: Frame) -> Iterator[str]:
    """Every page that shows something of this frame, and what is taken out of the book."""
    yield from (f"/office/{page}" for page in ("", "pulse/", "frames/", "jobs/", "phones/"))
    yield from (f"/office/{page}" for page in ("log/", "log/refused/", "plans/", "figures/"))
    yield from (f"/office/screen-room/{page}" for page in ("", "stencils/", "away/"))
    parts = ("", "card.pdf", "fitting/", "plan/", "what-if/", "write/", "?page=2")
    yield from (f"/office/frames/{frame.pk}/{part}" for part in parts)
    mesh = state.replay([frame.pk]).frames[str(frame.pk)]["screen"]
    if mesh:
        yield f"/office/frames/screens/{mesh}/"
    yield from (f"/office/jobs/{floor.job.pk}/{part}" for part in ("", "set/", "sheet/", "count/"))
    yield f"/office/shop/presses/{floor.press.pk}/page/"
    yield f"/office/shop/meters/{floor.meter.pk}/page/"
    yield from (f"/office/shop/lists/out/{slug}/list.csv" for slug in LISTS)
    for one in Entry.objects.order_by("-seq")[:6]:
        yield from (f"/office/log/{one.pk}/{act}/" for act in ("correct", "void"))


def open_all(client: Client, floor: Floor, frame: Frame) -> None:
    client.raise_request_exception = True
    for page in pages(floor, frame):
        response = client.get(page)
        assert response.status_code in (200, 302, 404), page
        assert response.status_code != 404 or page.endswith(("correct/", "void/")), page
        if response.streaming:
            assert sum(map(len, response.streaming_content)), page


def sent(phone: Phone, entries: list[Any]) -> list[str]:
    receipts = phone.push(*entries)["receipts"]
    assert len(receipts) == len(entries)
    for raw, receipt in zip(entries, receipts, strict=True):
        if receipt["status"] == "refused":
            assert receipt["problem"]["remedy"], raw
        else:
            assert Entry.objects.filter(pk=raw["id"]).exists()
    return [receipt["status"] for receipt in receipts]


def test_payloads_within_payloads_stay_readable(mara: Client, floor: Floor, frame: Frame) -> None:
    place = {"frame": str(frame.pk), "clock_offset_ms": 600_000}
    inside = [{"note": "Kept", "payload": odd} for odd in ("boom", [1], 7, {"mesh": {"a": 1}})]
    told = [entry("note", payload, **place) for payload in inside]
    newer = [
        entry("void", {}, v=2, **place),
        entry("correction", {"payload": []}, v=2, **place),
        entry("burst", {"impressions": "many"}, v=2, **place),
        entry("hologram", {"colours": [{}], "mesh": {"a": 1}, "payload": "x"}, **place),
    ]
    assert set(sent(enrolled(), [*told, *newer])) == {"stored"}
    for page in ("/office/", "/office/log/", f"/office/frames/{frame.pk}/"):
        said = words(mara.get(page))
    assert said.count("Kept") == len(inside)
    assert "Written by a newer app: hologram" in said


def test_a_burst_told_by_a_newer_app_hides_no_job_at_risk(
    mara: Client, floor: Floor, frame: Frame
) -> None:
    things.change("job", floor.job.pk, {"run": 500}, floor.job.version, "desk:mara")
    floor.tell("burst", {"where": "edge", "impressions": 40, "note": ""}, frame, hours=0.5)
    floor.tell("burst", {"impressions": "many"}, frame, v=2, hours=0.2)
    assert "is at risk: 40 of 500 printed" in words(mara.get("/office/"))


@pytest.mark.parametrize("note_of", [{"note": hostile.CUT_EMOJI}, {"note": "x", "odd": "\ud83d"}])
def test_half_a_character_is_shown_and_can_be_dealt_with(
    note_of: dict, mara: Client, floor: Floor, frame: Frame
) -> None:
    assert sent(enrolled(), [entry("note", note_of, frame=str(frame.pk))]) == ["refused"]
    assert r"\ud83d" in words(mara.get("/office/log/refused/"))
    mara.post(f"/office/log/refused/{Refused.objects.get().pk}/settle/")
    assert "Nothing was refused" in words(mara.get("/office/log/refused/"))


def test_zeroing_of_something_else_leaves_meters_alone(floor: Floor) -> None:
    """Voids of two zeroings, one of a newer app's, which names no meter."""
    zero = entry("meter_zeroed", {"zero_n_per_cm": 0.5, "note": ""})
    known = zero | {"subject": {"kind": "meter", "id": str(floor.meter.pk)}}
    newer = entry("meter_zeroed", {}, v=2)
    voids = [entry("void", {"voids": one["id"], "reason": "x"}) for one in (known, newer)]
    assert set(sent(enrolled(), [known, newer])) == {"stored"}
    assert set(sent(enrolled(), voids)) == {"stored"}
    assert state_version.rebuild() == 0


def test_an_outbox_file_is_answered_whatever_is_in_it(
    mara: Client, floor: Floor, frame: Frame
) -> None:
    good = note(frame=str(frame.pk))
    odd = [
        {"subject": "x", "frame": str(frame.pk)},
        {"payload": [1], "kind": ["note"]},
        {"subject": {"kind": [], "id": {}}, "frame": nested(300), "kind": "note"},
        note() | {"payload": {"note": hostile.CUT_EMOJI}},
        entry("tension_check", {"stencil": "bare", "spots": nested(200)}),
        7,
    ]
    content = {"tautbook_outbox": 1, "install_id": "x", "entries": [good, *odd]}
    file = SimpleUploadedFile("outbox.json", json.dumps(content).encode())
    said = words(mara.post("/office/phones/outbox/", {"file": file}))
    assert "1 stored" in said
    assert f"{len(odd)} refused" in said
    assert Entry.objects.filter(pk=good["id"]).exists()


@STEADY
@given(data=st.data())
def test_no_entry_takes_a_page_away(
    data: st.DataObject, mara: Client, floor: Floor, frame: Frame
) -> None:
    mesh = state.replay([frame.pk]).frames[str(frame.pk)]["screen"]
    maker = hostile.shop(floor, str(frame.pk), mesh)
    phone, before = enrolled("Press 2"), Entry.objects.count()
    statuses = sent(phone, data.draw(hostile.entries(maker)))
    assert Entry.objects.count() == before + statuses.count("stored")
    open_all(mara, floor, frame)
    assert phone.take_snapshot()
    assert phone.get(f"frames/{frame.pk}/entries").status_code == 200
    assert [found for found in audit.findings() if found.is_trouble] == []
    assert state_version.rebuild() == 0
