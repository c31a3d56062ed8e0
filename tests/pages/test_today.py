"""Today names what needs somebody, and nothing else."""

from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client
from django.utils import timezone

from frames import log, things
from frames.models import InstallState
from shopfloor.models import Device
from tests.api.entries import note
from tests.pages.floor import Floor
from tests.pages.reading import words

pytestmark = pytest.mark.django_db
TODAY = "/office/"


def phone(label: str, **seen: object) -> Device:
    now = timezone.now()
    contact = seen.pop("contact", now)
    return Device.objects.create(
        label=label, approved_at=now, last_contact_at=contact, last_seen=seen
    )


def groups(client: Client) -> dict[str, list]:
    return {group.key: group.lines for group in client.get(TODAY).context["groups"]}


def test_it_is_calm_where_nothing_is_wrong(mara: Client, floor: Floor) -> None:
    floor.on_press(floor.screen(floor.frame(1), 22))
    assert "Nothing needs you now." in words(mara.get(TODAY))


def test_it_opens_before_the_shop_is_set_up(mara: Client) -> None:
    assert "Nothing needs you now." in words(mara.get(TODAY))


@pytest.mark.parametrize(
    ("readings", "word"),
    [((18,), "low"), ((26,), "high"), ((22, 20.5, 23.5, 22, 22), "uneven"), ((), "unknown")],
)
def test_a_screen_on_a_press_that_does_not_hold(
    readings: tuple, word: str, mara: Client, floor: Floor
) -> None:
    things.change("shop", floor.shop.pk, {"spread_limit_n_per_cm": 2.5}, 1, "desk:mara")
    frame = floor.frame(417)
    floor.fit(frame)
    if readings:
        floor.check(frame, *readings)
    floor.on_press(frame)
    [line] = groups(mara)["screens"]
    assert line.name == frame.code
    assert line.condition["word"] == word
    assert line.why.startswith("Press 2, station 4. ")


def test_the_worst_stand_first(mara: Client, floor: Floor) -> None:
    for number, reading in ((1, 26), (2, 18), (3, 22)):
        floor.on_press(floor.screen(floor.frame(number), reading))
    assert [line.condition["word"] for line in groups(mara)["screens"]] == ["low", "high"]


def test_a_screen_in_the_rack_waits_unless_an_open_job_wants_it(mara: Client, floor: Floor) -> None:
    frame = floor.screen(floor.frame(1), 18)
    assert "screens" not in groups(mara)
    floor.expose(frame)
    [line] = groups(mara)["screens"]
    assert line.why.startswith("Job 2291. The lowest spot reads 18")
    things.change("job", floor.job.pk, {"done": True}, 1, "desk:mara")
    assert "screens" not in groups(mara)


def test_a_check_grows_old(mara: Client, floor: Floor) -> None:
    frame = floor.frame(1)
    floor.fit(frame, hours=500)
    floor.check(frame, 22, hours=24 * 8)
    floor.on_press(frame)
    [line] = groups(mara)["screens"]
    assert (line.condition["word"], line.when) == ("unknown", "8 days ago")


def test_a_burst_screen_stays_until_the_mesh_is_off(mara: Client, floor: Floor) -> None:
    frame = floor.screen(floor.frame(1), 22)
    floor.tell("burst", {"where": "corner", "impressions": 900}, frame)
    assert [line.name for line in groups(mara)["burst"]] == [frame.code]
    floor.tell("mesh_removed", {"note": ""}, frame, hours=0)
    assert groups(mara) == {}


def test_a_tweak_waits_for_its_after_marks(mara: Client, floor: Floor) -> None:
    frame = floor.screen(floor.frame(1), 22)
    tweak = floor.tweak(frame)
    [line] = groups(mara)["tweaks"]
    assert line.why == "1 tweak without after marks"
    marks = {"tweak": tweak["id"], "marks": [], "verdict": "in_register"}
    floor.tell("after_marks", marks, frame, hours=0)
    assert "tweaks" not in groups(mara)


def test_the_heading_of_tweaks_counts_tweaks(mara: Client, floor: Floor) -> None:
    for number, tweaks in ((1, 2), (2, 1)):
        frame = floor.screen(floor.frame(number), 22)
        for hours in range(tweaks):
            floor.tweak(frame, hours=1 + hours / 10)
    said = words(mara.get("/office/"))
    assert "Tweaks without after marks 3 " in said
    assert "2 tweaks without after marks" in said


@pytest.mark.parametrize(
    ("hours", "sentence"),
    [
        (24, "A shop started with “start” makes one every 24 h (BACKUP_EVERY_HOURS)."),
        (0, "None is made by itself: BACKUP_EVERY_HOURS is 0."),
    ],
)
def test_without_a_backup_it_says_how_to_make_one(
    hours: int, sentence: str, mara: Client, floor: Floor, settings: Any
) -> None:
    settings.BACKUP_EVERY_HOURS = hours
    page = mara.get("/office/")
    remedy = "Make one with the command “backup” on the computer that Tautbook runs on."
    assert f"No backup was made yet. {remedy} {sentence}" in words(page)
    assert '<p class="caution" id="backup">' in page.content.decode()


def test_a_job_due_soon_says_what_is_missing(mara: Client, floor: Floor) -> None:
    tomorrow = timezone.localdate() + timedelta(days=1)
    things.change("job", floor.job.pk, {"due": tomorrow}, 1, "desk:mara")
    assert groups(mara)["jobs"][0].why == "blue: no screen exposed yet."
    frame = floor.screen(floor.frame(1), 22)
    floor.expose(frame)
    assert groups(mara)["jobs"][0].why == "blue: stencil not inspected."
    floor.tell("inspected", {"passed": True, "note": ""}, frame, hours=0)
    assert "jobs" not in groups(mara)


def test_phones_that_are_silent_or_hold_entries_back(mara: Client, floor: Floor) -> None:
    now = timezone.now()
    phone("Fine")
    phone("Silent", contact=now - timedelta(days=3))
    phone("Holding", unsent=4, oldest_at=(now - timedelta(hours=5)).isoformat())
    assert {line.name: line.why for line in groups(mara)["phones"]} == {
        "Silent": "Silent. Open Tautbook on it where it has reception.",
        "Holding": "4 entries not sent, oldest 5 h ago.",
    }


def test_a_gap_in_a_phones_numbering(mara: Client, floor: Floor) -> None:
    device = phone("Gappy")
    sent = [note(device_seq=1), note(device_seq=2), note(device_seq=5)]
    install = str(uuid4())
    raws = [each | {"install_id": install} for each in sent]
    log.append(raws, device=device.name_in_log, received_at=timezone.now())
    assert InstallState.objects.get(install_id=install).missing == 2
    [line] = groups(mara)["phones"]
    assert line.why == "2 entries are missing in its numbering. Bring in its outbox as a file."


def test_a_phone_whose_storage_was_emptied(mara: Client, floor: Floor) -> None:
    now = timezone.now()
    lost = {"reason": "numbering lost", "started_at": (now - timedelta(days=3)).isoformat()}
    phone("Emptied", **lost)
    phone("Long ago", **lost | {"started_at": (now - timedelta(days=30)).isoformat()})
    phone("New", reason="new", started_at=now.isoformat())
    [line] = groups(mara)["phones"]
    assert (line.name, line.why) == (
        "Emptied",
        "Its storage was emptied 3 days ago. Ask what it held.",
    )


def test_flagged_and_refused_entries(mara: Client, floor: Floor) -> None:
    log.append([note(frame=str(uuid4())), {}], device="tests", received_at=timezone.now())
    said = {line.name: line.why for line in groups(mara)["log"]}
    assert said == {
        "Flagged": "1 entry of the last 30 days to look at",
        "Refused": "1 entry could not be taken; copies are kept",
    }
