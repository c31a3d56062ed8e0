"""Flagged entries and copies of refused ones, for somebody to look at."""

from uuid import uuid4

import pytest
from django.test import Client
from django.utils import timezone

from frames import log
from frames.models import Refused
from tests.api.entries import entry, note
from tests.pages.floor import PHONE, Floor
from tests.pages.reading import words

pytestmark = pytest.mark.django_db
FLAGGED, REFUSED = "/office/log/", "/office/log/refused/"


def send(*entries: object) -> None:
    log.append(list(entries), device=PHONE, received_at=timezone.now())


def test_nothing_to_look_at(sol: Client, floor: Floor) -> None:
    assert "No entry is flagged." in words(sol.get(FLAGGED))
    assert "Nothing was refused." in words(sol.get(REFUSED))


def test_a_flagged_entry_says_why(sol: Client, floor: Floor) -> None:
    frame = floor.frame(417)
    send(
        note("On no frame", frame=str(uuid4())),
        note("Fine", frame=str(frame.pk)),
        note("Clock off", frame=str(frame.pk), clock_offset_ms=600_000),
    )
    said = words(sol.get(FLAGGED))
    assert "On no frame No frame with this id is in the book." in said
    assert "F0417-N Clock off The phone's clock was more than five minutes off." in said
    assert "Fine" not in said
    assert "2 entries" in said


def test_a_refused_entry_keeps_its_copy(sol: Client, floor: Floor) -> None:
    wrong = entry("bolt_state", {"bolt": "E9", "state": "seized"}, frame=str(floor.frame(1).pk))
    send(wrong, "not even an entry")
    said = words(sol.get(REFUSED))
    assert "Bolt “E9”: Name the bolt by side and number, for example A1." in said
    assert f'"id": "{wrong["id"]}"' in said
    assert '"not even an entry"' in said
    assert "2 entries" in said


def test_dealt_with_is_set_apart_and_kept(sol: Client, floor: Floor) -> None:
    send({"id": "broken"})
    row = Refused.objects.get()
    assert sol.get(f"{REFUSED}{row.pk}/settle/").status_code == 405
    response = sol.post(f"{REFUSED}{row.pk}/settle/", follow=True)
    assert "Marked as dealt with. The copy is kept. " in words(response)
    assert "Nothing was refused." in words(response)
    settled_at = Refused.objects.get().settled_at
    sol.post(f"{REFUSED}{row.pk}/settle/")
    assert Refused.objects.get().settled_at == settled_at
    assert "broken" in words(sol.get(REFUSED, {"settled": "yes"}))
