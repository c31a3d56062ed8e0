"""The history of a frame: nothing is hidden, not what was voided and not what was corrected."""

from typing import Any

import pytest
from django.test import Client
from django.utils import timezone

from frames import log
from frames.models import Frame
from shopfloor.models import Device
from shopfloor.office import frame as frame_page
from tests.api.entries import correction, entry, void
from tests.pages.floor import PHONE, Floor
from tests.pages.reading import words

pytestmark = pytest.mark.django_db


def lines(client: Client, frame: Frame, **asked: str) -> list[Any]:
    response = client.get(f"/office/frames/{frame.pk}/", asked)
    return response.context["history"]["lines"]


def send(*entries: dict, device: str = PHONE) -> None:
    receipts = log.append(list(entries), device=device, received_at=timezone.now())
    assert {receipt.status for receipt in receipts} == {"stored"}


def test_who_when_and_with_what(mara: Client, floor: Floor) -> None:
    frame = floor.frame(1)
    floor.check(frame, 22)
    device = Device.objects.create(label="Press 2 tablet", approved_at=timezone.now())
    send(entry("note", {"note": "Creaks"}, frame=str(frame.pk)), device=device.name_in_log)
    newest, older = lines(mara, frame)
    assert (newest.told, newest.who, newest.device) == ("Creaks", "", "Press 2 tablet")
    assert (older.who, older.device) == ("Ines", "press phone")
    assert older.told == "Checked bare: 22 N/cm (1 spot, Meter 2)"


def test_a_voided_entry_stays_readable(mara: Client, floor: Floor) -> None:
    frame = floor.frame(1)
    wrong = floor.check(frame, 9)
    send(void(wrong, "Meter upside down"))
    act, check = lines(mara, frame)
    assert check.gone
    assert not check.can_correct
    assert not check.can_void
    assert check.told == "Checked bare: 9 N/cm (1 spot, Meter 2)"
    assert [under.told for under in check.acts] == ["Voided: Meter upside down."]
    assert act.told == "Voided: “Checked bare: 9 N/cm (1 spot, Meter 2)”. Meter upside down"
    assert not act.can_void
    assert "Void: Checked bare: 9 N/cm" in words(mara.get(f"/office/frames/{frame.pk}/"))


def test_a_corrected_entry_says_what_it_was(mara: Client, floor: Floor) -> None:
    frame = floor.frame(1)
    wrong = floor.tell("note", {"note": "Side B creaks"}, frame)
    right = correction(wrong, payload={"note": "Side C creaks"})
    send(right)
    act, line = lines(mara, frame)
    assert (line.told, line.was, line.gone) == ("Side C creaks", "Side B creaks", False)
    assert act.told == "Corrected: “Side B creaks”."
    assert act.can_void


def test_a_voided_correction_brings_the_original_back(mara: Client, floor: Floor) -> None:
    frame = floor.frame(1)
    wrong = floor.tell("note", {"note": "Side B creaks"}, frame)
    right = correction(wrong, payload={"note": "Side C creaks"})
    send(right, void(right))
    line = lines(mara, frame)[-1]
    assert (line.told, line.was) == ("Side B creaks", "")


def test_an_entry_corrected_onto_another_frame_is_told_on_both(mara: Client, floor: Floor) -> None:
    here, there = floor.frame(1), floor.frame(2)
    wrong = floor.tell("note", {"note": "Creaks"}, here)
    send(correction(wrong, frame=str(there.pk)))
    assert [line.kind for line in lines(mara, here)] == ["correction", "note"]
    assert [line.kind for line in lines(mara, there)] == ["correction"]


def test_a_kind_that_a_newer_app_writes(mara: Client, floor: Floor) -> None:
    frame = floor.frame(1)
    floor.tell("polished", {"shine": 3}, frame)
    [line] = lines(mara, frame)
    assert line.told == "Written by a newer app: polished"
    assert not line.can_correct
    assert "This kind of entry" not in line.told
    said = words(mara.get(f"/office/frames/{frame.pk}/"))
    assert "The phone runs a newer app" in said


def test_a_long_history_has_pages(mara: Client, floor: Floor) -> None:
    frame = floor.frame(1)
    for hour in range(frame_page.LINES + 1):
        floor.tell("note", {"note": f"Note {hour}"}, frame, hours=hour + 1)
    assert len(lines(mara, frame)) == frame_page.LINES
    [last] = lines(mara, frame, page="2")
    assert last.told == f"Note {frame_page.LINES}"


def test_words_from_a_phone_are_words_only(mara: Client, floor: Floor) -> None:
    frame = floor.frame(1)
    floor.tell("note", {"note": "<script>alert(1)</script>"}, frame)
    html = mara.get(f"/office/frames/{frame.pk}/").content.decode()
    assert "&lt;script&gt;alert(1)&lt;/script&gt;" in html
    assert "<script>alert" not in html
