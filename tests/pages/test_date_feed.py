"""The calendar behind its secret address: what stands in it, and that it can be revoked."""

import re
from datetime import timedelta

import pytest
from django.test import Client
from django.utils import timezone

from frames import derived, things
from frames.models import Derived
from shopfloor.models import DateFeed
from tests.dates.reading import events
from tests.pages.floor import Floor

pytestmark = pytest.mark.django_db
PAGE = "/office/dates/"


def address(client: Client, label: str = "Ines") -> str:
    shown = client.post(PAGE, {"label": label}).content.decode()
    found = re.search(r'value="http://testserver(/dates/[^"]+\.ics)"', shown)
    assert found
    return found[1]


def read(at: str) -> dict[str, dict[str, str]]:
    response = Client().get(at)
    assert response["Content-Type"] == "text/calendar; charset=utf-8"
    assert "no-store" in response["Cache-Control"]
    return {event["UID"].split("-")[0]: event for event in events(response.content)}


def test_coat_retension_and_jobs(floor: Floor, mara: Client) -> None:
    frame = floor.frame(7)
    floor.fit(frame, hours=0.6)
    floor.check(frame, 22.5, 22.5, hours=0.3)
    due = timezone.localdate() + timedelta(days=5)
    things.change("job", floor.job.pk, {"due": due.isoformat()}, floor.job.version, "desk:mara")
    derived.follow_up(None)
    told = read(address(mara))
    assert told.keys() == {"coat", "retension", "job"}
    assert told["coat"]["SUMMARY"].startswith(f"Coat {frame.code}")
    assert told["job"]["DTSTART;VALUE=DATE"] == f"{due:%Y%m%d}"
    assert told["job"]["URL"].endswith(f"/office/jobs/{floor.job.pk}/")
    row = Derived.objects.of_kind("forecast").get()
    assert told["retension"]["DESCRIPTION"] == row.body["retension_by"]["reason"]


def test_the_address_is_shown_once_and_kept_as_a_digest(floor: Floor, mara: Client) -> None:
    at = address(mara)
    secret = at.removeprefix("/dates/").removesuffix(".ics")
    assert secret not in mara.get(PAGE).content.decode()
    assert secret not in DateFeed.objects.get().token_hash
    assert len(secret) >= 40


def test_a_revoked_address_is_as_if_it_had_never_been(floor: Floor, mara: Client) -> None:
    ines, sol = address(mara), address(mara, "Sol")
    found = DateFeed.objects.get(label="Ines")
    mara.post(f"{PAGE}{found.pk}/revoke/")
    gone, never = Client().get(ines), Client().get("/dates/nothing.ics")
    assert gone.status_code == never.status_code == 404
    assert Client().get(sol).status_code == 200
    assert "Ines" not in re.sub(r"Revoked: Ines", "", mara.get(PAGE).content.decode())


def test_reading_is_noted(floor: Floor, mara: Client) -> None:
    at = address(mara)
    assert DateFeed.objects.get().read_at is None
    read(at)
    assert DateFeed.objects.get().read_at is not None


def test_a_label_is_asked_for(floor: Floor, mara: Client) -> None:
    shown = mara.post(PAGE, {"label": "  "}).content.decode()
    assert "Say whose calendar it is for." in shown
    assert not DateFeed.objects.exists()


def test_who_is_not_signed_in_cannot_make_one(floor: Floor) -> None:
    assert Client().post(PAGE, {"label": "x"}).status_code == 302
    assert not DateFeed.objects.exists()
