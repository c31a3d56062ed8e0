"""Entries from the office's own pages go in by the log's door, as device `desk:username`."""

from datetime import UTC, timedelta
from typing import Any
from uuid import UUID

import pytest
from django.http import HttpResponse
from django.test import Client
from django.utils import timezone

from frames import things
from frames.models import Entry, Frame, FrameState, InstallState, Refused, ScreenState
from shopfloor.office.entries import WRITTEN_HERE
from tests.api.entries import uuid7
from tests.pages.floor import MESH, Floor
from tests.pages.reading import errors, fields, words

pytestmark = pytest.mark.django_db


def write(client: Client, frame: Frame, kind: str, **typed: Any) -> HttpResponse:
    """Open the form, type into it, send it."""
    address = f"/office/frames/{frame.pk}/write/{kind}/"
    return client.post(address, fields(client.get(address)) | typed)


def correct(client: Client, entry_id: str, **typed: Any) -> HttpResponse:
    address = f"/office/log/{entry_id}/correct/"
    return client.post(address, fields(client.get(address)) | typed)


def newest() -> Entry:
    return Entry.objects.latest("seq")


def test_a_note_is_an_entry_like_any_other(sol: Client, floor: Floor) -> None:
    frame = floor.frame(1)
    response = write(sol, frame, "note", note="Corner B/C creaks")
    assert response["Location"] == f"/office/frames/{frame.pk}/"
    entry = newest()
    assert (entry.device, entry.kind, entry.frame_id) == ("desk:sol", "note", frame.pk)
    assert entry.raw["payload"] == {"note": "Corner B/C creaks"}
    assert (entry.flags, entry.id.version) == ([], 7)
    assert abs(entry.corrected_at - timezone.now()) < timedelta(minutes=1)
    assert "Written: note." in words(sol.get(response["Location"]))


def test_the_desk_numbers_its_entries_without_a_gap(
    sol: Client, mara: Client, floor: Floor
) -> None:
    frame = floor.frame(1)
    for client in (sol, mara, sol):
        write(client, frame, "note", note="x")
    installs = InstallState.objects.filter(device__startswith="desk:")
    told = {i.device: (i.highest, i.missing) for i in installs}
    assert told == {"desk:sol": (2, 0), "desk:mara": (1, 0)}


def test_a_number_that_a_phone_claims_stops_no_desk(sol: Client, floor: Floor) -> None:
    frame = floor.frame(1)
    write(sol, frame, "note", note="first")
    claimed = newest().raw | {"id": uuid7(), "device_seq": 2**53 - 1}
    floor.send([claimed])
    write(sol, frame, "note", note="second")
    assert Entry.objects.get(raw__payload__note="second").device_seq == 2


def test_a_form_sent_twice_is_one_entry(sol: Client, floor: Floor) -> None:
    frame = floor.frame(1)
    address = f"/office/frames/{frame.pk}/write/note/"
    form = fields(sol.get(address)) | {"note": "once"}
    assert sol.post(address, form).status_code == sol.post(address, form).status_code == 302
    assert Entry.objects.filter(kind="note").count() == 1
    assert not Refused.objects.exists()


def test_a_form_gone_back_to_says_that_it_was_saved_before(sol: Client, floor: Floor) -> None:
    frame = floor.frame(1)
    address = f"/office/frames/{frame.pk}/write/note/"
    form = fields(sol.get(address))
    sol.post(address, form | {"note": "once"})
    again = sol.post(address, form | {"note": "something else"})
    assert "this form was saved before" in words(again)
    assert fields(again)["note"] == "something else"
    assert [one.raw["payload"]["note"] for one in Entry.objects.filter(kind="note")] == ["once"]


def test_mesh_fitted_takes_target_and_tolerance_from_the_card(sol: Client, floor: Floor) -> None:
    frame = floor.frame(1)
    write(sol, frame, "mesh_fitted", mesh=str(floor.mesh.pk), warp="y")
    screen = ScreenState.objects.get()
    assert (screen.frame, screen.target, screen.tolerance) == (frame.pk, 22, 1.5)
    assert FrameState.objects.get().screen == screen.pk == newest().pk


def test_an_entry_about_the_screen_names_the_one_on_the_frame(sol: Client, floor: Floor) -> None:
    frame = floor.frame(1)
    fitted = floor.fit(frame)
    write(sol, frame, "target_set", target_n_per_cm="20,5", tolerance_n_per_cm="1½")
    assert newest().screen_id == UUID(fitted["id"])
    assert ScreenState.objects.get().target == 20.5


def test_exposed_takes_the_job_from_the_colour(sol: Client, floor: Floor) -> None:
    frame = floor.frame(1)
    floor.fit(frame)
    write(sol, frame, "exposed", colour=str(floor.colour.pk))
    assert newest().raw["payload"] == {"job": str(floor.job.pk), "colour": str(floor.colour.pk)}


def test_moved_to_a_press(sol: Client, floor: Floor) -> None:
    frame = floor.frame(1)
    write(sol, frame, "moved", to="press", press=str(floor.press.pk), station="3")
    place = FrameState.objects.get().body["place"]
    assert (place["to"], place["press"], place["station"]) == ("press", str(floor.press.pk), 3)


def test_it_may_have_happened_earlier(sol: Client, floor: Floor) -> None:
    when = timezone.localtime() - timedelta(days=2)
    write(sol, floor.frame(1), "note", note="x", at=when.strftime("%Y-%m-%dT%H:%M"))
    assert newest().corrected_at == when.replace(second=0, microsecond=0)


@pytest.mark.parametrize("kind", WRITTEN_HERE)
def test_every_kind_written_here_has_its_form(kind: str, sol: Client, floor: Floor) -> None:
    response = sol.get(f"/office/frames/{floor.frame(1).pk}/write/{kind}/")
    assert "When Empty: now." in words(response)


@pytest.mark.parametrize("kind", ["tension_check", "void", "no_such_kind"])
def test_other_kinds_have_none(kind: str, sol: Client, floor: Floor) -> None:
    assert sol.get(f"/office/frames/{floor.frame(1).pk}/write/{kind}/").status_code == 404


BAD = [
    ("moved", {}, "to", "Nothing chosen. Choose one."),
    ("moved", {"to": "press", "station": "two"}, "station",
     "“two” is not a number. Write it like 22."),
    ("moved", {"to": "press", "station": "200"}, "station",
     "“200”: Give the station's number, from 1."),
    ("mesh_fitted", {}, "mesh", "Nothing chosen. Choose one."),
    ("target_set", {"target_n_per_cm": "180", "tolerance_n_per_cm": "1"}, "target_n_per_cm",
     "“180”: Give a tension above 0, up to 150 N/cm."),
    ("target_set", {"target_n_per_cm": ""}, "target_n_per_cm",
     "Nothing written. Give a number, like 22 or 21.5."),
    ("impressions", {"mode": "added", "count": "-5"}, "count",
     "“-5”: Give a whole number of impressions, 0 or more."),
    ("bolt_state", {"bolt": "E9", "state": "seized"}, "bolt",
     "“E9”: Name the bolt by side and number, for example A1."),
    ("note", {"note": "x", "at": "yesterday"}, "at",
     "This is not a date and time. Choose it from the calendar, or leave it empty for now."),
    ("note", {"note": "x", "at": "2199-01-01T10:00"}, "at",
     "This time is still to come. Give when it was done."),
    ("note", {"note": "x" * 2001}, "note",
     "Write the note in at most 2000 ordinary characters."),
]  # fmt: skip


@pytest.mark.parametrize(("kind", "typed", "field", "sentence"), BAD)
def test_bad_input_is_told_beside_its_field_and_nothing_is_lost(
    kind: str, typed: dict, field: str, sentence: str, sol: Client, floor: Floor
) -> None:
    response = write(sol, floor.frame(1), kind, **typed)
    assert errors(response)[field] == [sentence]
    held = fields(response)
    assert {name: held[name] for name in typed} == typed
    assert not Entry.objects.exists()
    assert not Refused.objects.exists()


def test_readings_are_corrected_spot_by_spot(sol: Client, floor: Floor) -> None:
    frame = floor.frame(1)
    fitted = floor.fit(frame)
    wrong = floor.check(frame, 12, 22, screen=fitted["id"])
    assert "Spot in the middle, along A" in words(sol.get(f"/office/log/{wrong['id']}/correct/"))
    response = correct(sol, wrong["id"], spot_0_along_a_n_per_cm="21½", spot_0_across_a_n_per_cm="")
    assert response.status_code == 302
    body = ScreenState.objects.get().body["last_check"]
    assert (body["low"], body["high"]) == (21.5, 22)
    made = newest()
    assert (made.kind, made.device, made.target_id) == ("correction", "desk:sol", UUID(wrong["id"]))
    assert made.raw["payload"]["occurred_at"] == wrong["occurred_at"]
    assert Entry.objects.get(pk=wrong["id"]).raw == wrong


def test_turns_are_corrected_in_the_steps_of_the_head(sol: Client, floor: Floor) -> None:
    frame = floor.frame(1)
    floor.fit(frame)
    wrong = floor.tweak(frame)
    assert fields(sol.get(f"/office/log/{wrong['id']}/correct/"))["bolts"] == "A1 +1  A2 +1"
    correct(sol, wrong["id"], bolts="A1 +2, c3 -1")
    assert ScreenState.objects.get().body["turns"] == {"A1": 16, "C3": -8}
    bad = correct(sol, wrong["id"], bolts="A1 +2 and some")
    assert errors(bad)["bolts"] == [
        "“and some” is not a bolt and a number. Write bolt and number, like A1 +2 C4 -1."
    ]


def test_the_wrong_frame_is_put_right(sol: Client, floor: Floor) -> None:
    here, there = floor.screen(floor.frame(1), 22), floor.frame(2)
    fitted = floor.fit(there)
    check = floor.check(here, 18, hours=1, screen=FrameState.objects.get(pk=here.pk).body["screen"])
    correct(sol, check["id"], frame=there.code.lower())
    rows = {row.frame: row.low for row in ScreenState.objects.all()}
    assert rows == {here.pk: 22, there.pk: 18}
    assert str(FrameState.objects.get(pk=there.pk).screen) == fitted["id"]


def test_a_time_is_put_right_through_the_phones_own_clock(sol: Client, floor: Floor) -> None:
    frame = floor.frame(1)
    wrong = floor.tell("note", {"note": "x"}, frame, clock_offset_ms=3_600_000, hours=5)
    shown = fields(sol.get(f"/office/log/{wrong['id']}/correct/"))["at"]
    entry = Entry.objects.get(pk=wrong["id"])
    assert shown == timezone.localtime(entry.corrected_at).strftime("%Y-%m-%dT%H:%M")
    earlier = timezone.localtime(entry.corrected_at) - timedelta(days=1)
    correct(sol, wrong["id"], at=earlier.strftime("%Y-%m-%dT%H:%M"))
    last = FrameState.objects.get().body["last"]["at"]
    assert last.startswith(earlier.astimezone(UTC).strftime("%Y-%m-%dT%H:%M"))


def test_no_such_frame_to_correct_onto(sol: Client, floor: Floor) -> None:
    note = floor.tell("note", {"note": "x"}, floor.frame(1))
    said = errors(correct(sol, note["id"], frame="F0002-9"))["frame"]
    assert said == ["“F0002-9”: One character is wrong: compare it with the label again."]


def test_void_wants_a_reason(sol: Client, floor: Floor) -> None:
    frame = floor.frame(1)
    fitted = floor.fit(frame)
    check = floor.check(frame, 9, screen=fitted["id"])
    address = f"/office/log/{check['id']}/void/"
    response = sol.post(address, fields(sol.get(address)))
    assert errors(response)["reason"] == ["Nothing written. Say why; others will wonder later."]
    sol.post(address, fields(response) | {"reason": "Meter upside down"})
    assert ScreenState.objects.get().last_check_at is None
    made = newest()
    assert (made.kind, made.device) == ("void", "desk:sol")
    assert (made.frame_id, made.screen_id) == (frame.pk, UUID(fitted["id"]))


def test_a_void_entry_is_not_corrected(sol: Client, floor: Floor) -> None:
    frame = floor.frame(1)
    note = floor.tell("note", {"note": "x"}, frame)
    void = floor.tell("void", {"voids": note["id"], "reason": ""}, frame)
    response = sol.get(f"/office/log/{note['id']}/correct/", follow=True)
    assert "This entry is void. Write it anew instead." in words(response)
    assert sol.get(f"/office/log/{void['id']}/void/").status_code == 404
    assert sol.get(f"/office/log/{void['id']}/correct/").status_code == 404


def test_a_correction_of_a_correction_starts_from_what_stands(sol: Client, floor: Floor) -> None:
    note = floor.tell("note", {"note": "one"}, floor.frame(1))
    correct(sol, note["id"], note="two")
    assert fields(sol.get(f"/office/log/{note['id']}/correct/"))["note"] == "two"


def test_things_taken_out_of_use_are_not_offered(sol: Client, floor: Floor) -> None:
    frame = floor.frame(1)
    address = f"/office/frames/{frame.pk}/write/mesh_fitted/"
    assert MESH["name"] in words(sol.get(address))
    things.retire("mesh", floor.mesh.pk, 1, "desk:mara")
    assert MESH["name"] not in words(sol.get(address))
