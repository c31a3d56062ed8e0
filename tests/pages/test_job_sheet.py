"""The OK sheet is signed at a desk; the printed job sheet tells who did what, and when."""

import pytest
from django.test import Client

from frames.models import Entry
from tests.pages.floor import Floor
from tests.pages.reading import errors, fields, words

pytestmark = pytest.mark.django_db


def ok_sheet(floor: Floor) -> str:
    return f"/office/jobs/{floor.job.pk}/ok-sheet/"


def test_an_ok_sheet_is_signed_once_however_often_it_is_sent(sol: Client, floor: Floor) -> None:
    held = fields(sol.get(ok_sheet(floor)))
    assert held["colours"] == str(floor.colour.pk)
    typed = held | {"signed": "yes", "press": str(floor.press.pk), "note": "second pull"}
    response = sol.post(ok_sheet(floor), typed, follow=True)
    assert "OK sheet signed: blue, on Press 2. second pull" in words(response)
    sol.post(ok_sheet(floor), typed)
    entry = Entry.objects.get()
    assert entry.raw["subject"] == {"kind": "job", "id": str(floor.job.pk)}
    assert entry.raw["payload"] == {
        "signed": True,
        "colours": [str(floor.colour.pk)],
        "press": str(floor.press.pk),
        "note": "second pull",
    }


def test_nothing_chosen_is_told_beside_the_field(sol: Client, floor: Floor) -> None:
    held = fields(sol.get(ok_sheet(floor)))
    response = sol.post(ok_sheet(floor), {"id": held["id"], "note": "kept"})
    assert errors(response) == {
        "signed": ["Nothing chosen. Choose one."],
        "colours": ["Nothing chosen. Tick the colours on the sheet."],
    }
    assert fields(response)["note"] == "kept"
    assert not Entry.objects.exists()


def sheet(client: Client, floor: Floor) -> str:
    return words(client.get(f"/office/jobs/{floor.job.pk}/sheet/"))


def test_the_sheet_tells_a_stencil_from_coat_to_reclaim(sol: Client, floor: Floor) -> None:
    frame = floor.frame(1)
    floor.fit(frame, hours=90)
    floor.check(frame, 25, hours=80)
    floor.check(frame, 22, hours=70)
    floor.tell("coated", {"note": ""}, frame, hours=60)
    floor.expose(frame, hours=59)
    printed = floor.tell("impressions", {"mode": "added", "count": 300}, frame, hours=50)
    floor.tell("void", {"voids": printed["id"], "reason": "test print"}, frame, hours=49)
    floor.tell("impressions", {"mode": "added", "count": 320}, frame, hours=48)
    floor.tell("reclaimed", {"note": "all off"}, frame, hours=40)
    floor.tell("note", {"note": "of the next life"}, frame, hours=30)
    said = sheet(sol, floor)
    told = [
        "Checked bare: 22",
        "Coated",
        "Exposed: job 2291, blue",
        "320 more",
        "Reclaimed. all off",
    ]
    places = [said.index(one) for one in told]
    assert places == sorted(places)
    assert "stencil off" in said
    assert "Ines" in said
    # neither what was before this stencil, nor what came after, nor what is void
    assert "300 more" not in said
    assert "Checked bare: 25" not in said
    assert "next life" not in said
