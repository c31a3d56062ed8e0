"""The set for a job: chosen on the day it is due, from the rack as it stands."""

from datetime import timedelta
from typing import Any

import pytest
from django.test import Client
from django.utils import timezone

from frames import derived, matching, things
from frames.models import ScreenState
from tests.pages.floor import MESH, Floor
from tests.pages.reading import words

pytestmark = pytest.mark.django_db
JOB_SET = "/office/jobs/{}/set/"


def now_ms(days: float = 0) -> int:
    return int((timezone.now() + timedelta(days=days)).timestamp() * 1000)


def rack(floor: Floor, readings: dict[int, float]) -> dict[int, Any]:
    """Frames by number, each settled for three weeks at its reading."""
    frames = {}
    for number, value in readings.items():
        frames[number] = floor.frame(number)
        floor.fit(frames[number], hours=600)
        for hours, above in ((590, 0.4), (300, 0.1), (3, 0.0)):
            floor.check(frames[number], value + above, value + above, hours=hours)
    return frames


def want(floor: Floor, *names: str, **more: Any) -> None:
    for position, name in enumerate(names, 2):
        values = {"job": str(floor.job.pk), "position": position, "name": name}
        floor.make("colour", **values, mesh=str(floor.mesh.pk), **more)


@pytest.fixture
def matched(floor: Floor) -> Floor:
    """Three colours beside the blue one, which names no mesh."""
    want(floor, "red", "black", "white")
    rack(floor, {11: 22.0, 12: 21.7, 13: 22.4, 14: 19.0})
    derived.follow_up(None)
    return floor


def test_the_least_spread_is_chosen_and_the_rest_explained(matched: Floor, mara: Client) -> None:
    found = matching.for_job(matched.job, now_ms())
    assert {row["code"][:5] for row in found["colours"]} == {"F0011", "F0012", "F0013"}
    assert found["spread"] < 1
    assert [row["code"][:5] for row in found["left_out"]] == ["F0014"]
    assert found["left_out"][0]["why"].startswith("It would widen the spread")
    assert found["open"] == ["1 blue"]
    assert not found["passes"]
    page = mara.get(JOB_SET.format(matched.job.pk)).content.decode()
    assert "Colour 1 blue names no mesh" in page
    assert "F0011" in page
    assert "widen the spread" in page


def test_a_screen_that_was_not_checked_for_long_is_checked_first(
    floor: Floor, mara: Client
) -> None:
    things.change("colour", floor.colour.pk, {"mesh": str(floor.mesh.pk)}, 1, "desk:mara")
    want(floor, "red")
    fresh = rack(floor, {11: 22.0})[11]
    old = floor.frame(12)
    floor.fit(old, hours=2600)
    for hours, value in ((2590, 22.4), (2300, 22.1), (2200, 22.0)):
        floor.check(old, value, value, hours=hours)
    derived.follow_up(None)
    found = matching.for_job(floor.job, now_ms(), 5)
    assert {row["code"] for row in found["colours"]} == {fresh.code, old.code}
    assert found["check_first"] == [old.code]
    assert not found["passes"]
    page = words(mara.get(JOB_SET.format(floor.job.pk)))
    assert f"Check first: {old.code}." in page
    assert f"{old.code} unknown check first" in page
    assert f"{fresh.code} unknown" not in page
    assert "This set passes" not in page
    floor.check(old, 22.0, 22.0, hours=1)
    derived.follow_up(None)
    assert matching.for_job(floor.job, now_ms(), 5)["check_first"] == []


def test_the_page_of_a_job_leads_to_its_set(matched: Floor, mara: Client) -> None:
    page = mara.get(f"/office/jobs/{matched.job.pk}/").content.decode()
    assert f'href="{JOB_SET.format(matched.job.pk)}">Choose the set</a>' in page


def test_a_set_too_far_apart_says_what_to_retension(floor: Floor, mara: Client) -> None:
    want(floor, "red", "black")
    rack(floor, {11: 22.0, 14: 18.6})
    derived.follow_up(None)
    found = matching.for_job(floor.job, now_ms())
    assert [code[:5] for code in found["retension"]] == ["F0014"]
    page = mara.get(JOB_SET.format(floor.job.pk)).content.decode()
    assert f"Retension {found['retension'][0]} to their targets and a set passes." in page


def test_a_stored_stencil_stays_and_is_kept_from_other_jobs(floor: Floor) -> None:
    frames = rack(floor, {11: 22.0, 12: 20.5, 13: 22.1})
    floor.expose(frames[12])
    want(floor, "red")
    derived.follow_up(None)
    found = matching.for_job(floor.job, now_ms())
    assert [row["code"][:5] for row in found["colours"]] != ["F0012"]
    reasons = {row["code"][:5]: row["why"] for row in found["left_out"]}
    assert reasons["F0012"] == "It carries a stencil for something else."


def test_a_screen_out_for_repair_is_not_offered(floor: Floor) -> None:
    frames = rack(floor, {11: 22.0, 12: 22.0})
    floor.tell("moved", {"to": "repair"}, frames[11], hours=1)
    want(floor, "red")
    derived.follow_up(None)
    found = matching.for_job(floor.job, now_ms())
    assert [row["code"][:5] for row in found["colours"]] == ["F0012"]
    assert found["left_out"][0]["why"] == "It is out for repair."


def test_after_a_burst_the_nearest_of_its_kind_follows(floor: Floor, mara: Client) -> None:
    """Burst at 2,300 of 5,000."""
    frames = rack(floor, {11: 22.0, 12: 21.0, 13: 21.9})
    floor.tell("impressions", {"mode": "counter", "count": 2300}, frames[11], hours=2)
    floor.tell("burst", {"where": "middle", "impressions": 2300}, frames[11], hours=1)
    derived.follow_up(None)
    lost = ScreenState.objects.get(frame=frames[11].pk)
    followers = [row["code"][:5] for row in matching.after_burst(lost, now_ms())]
    assert followers == ["F0013", "F0012"]
    page = mara.get(f"/office/frames/{frames[11].pk}/").content.decode()
    shown = page[page.index("Could follow:") :]
    assert shown.index("F0013") < shown.index("F0012")


def test_tension_on_a_later_day_is_lower(matched: Floor) -> None:
    early = matching.on_rack([matched.mesh.pk], now_ms())
    late = matching.on_rack([matched.mesh.pk], now_ms(60))
    for a, b in zip(early, late, strict=True):
        assert b.expected["mean"] <= a.expected["mean"] <= MESH["target_n_per_cm"] + 1
