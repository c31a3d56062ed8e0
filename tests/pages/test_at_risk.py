"""A mesh bursts on press at 2,300 of 5,000: a phone pushes it, the office names the job at risk and
who could follow: the same mesh and size, nearest to its target, retensioned about as often."""

import re

import pytest
from django.test import Client

from frames import derived, things
from frames.models import Frame
from tests.api.cast import enrolled
from tests.pages.floor import MESH, VIEW, Floor
from tests.pages.reading import words

pytestmark = pytest.mark.django_db
TURN = {"purpose": "retension", "bolts": [{"bolt": "A1", "turn_48ths": 8}], **VIEW}


def rack(floor: Floor) -> Frame:
    """The screen on press, once retensioned, and six others; the answer is F0004, then F0003."""
    other = floor.make("mesh", **MESH | {"name": "43-80 polyester", "count_per_cm": 43})
    printing = settled(floor, 1, 22.0)
    settled(floor, 2, 22.0, mesh=other)
    settled(floor, 3, 21.2)
    settled(floor, 4, 21.8)
    settled(floor, 5, 22.0, retensions=3)
    settled(floor, 6, 22.0, inside_b_mm=900)
    carrying = settled(floor, 7, 22.0)
    floor.tell("coated", {"note": ""}, carrying, hours=3)
    floor.on_press(printing)
    floor.expose(printing)
    return printing


def settled(floor: Floor, number: int, read: float, **more: object) -> Frame:
    """A screen that has stood long enough: its forecast stays near what was read."""
    mesh, retensions = more.pop("mesh", floor.mesh), more.pop("retensions", 1)
    frame = floor.frame(number, **more)
    payload = {"mesh": str(mesh.pk), "warp": "x"}
    payload |= {"target_n_per_cm": 22.0, "tolerance_n_per_cm": 1.5}
    fitted = floor.tell("mesh_fitted", payload, frame, hours=3000)
    for time in range(retensions):
        floor.tell("bolt_turns", TURN, frame, hours=2000 - 100 * time, screen=fitted["id"])
    for hours in (900, 600, 300, 6):
        floor.check(frame, read, read, hours=hours, screen=fitted["id"])
    return frame


def test_the_job_and_its_successor_show_after_the_push(floor: Floor, sol: Client) -> None:
    things.change("job", floor.job.pk, {"run": 5000}, floor.job.version, "desk:mara")
    printing = rack(floor)
    derived.follow_up(None)
    assert "at risk" not in words(sol.get("/office/"))
    burst = {"where": "middle", "impressions": 2300, "note": ""}
    phone = enrolled()
    (receipt,) = phone.push(floor.entry("burst", burst, printing, hours=0.1))["receipts"]
    assert receipt["status"] == "stored"
    said = words(sol.get("/office/"))
    assert "Job 2291, blue is at risk: 2,300 of 5,000 printed." in said
    assert re.search(r"Could follow: F0004-\w, F0003-\w\.", said)
    page = words(sol.get(f"/office/frames/{printing.pk}/"))
    assert page.index("F0004") < page.index("F0003")
    assert "F0005" not in page.split("History")[0]


def test_a_finished_job_is_not_at_risk(floor: Floor, sol: Client) -> None:
    printing = rack(floor)
    things.change("job", floor.job.pk, {"done": True}, floor.job.version, "desk:mara")
    enrolled().push(floor.entry("burst", {"where": "edge", "note": ""}, printing, hours=0.1))
    said = words(sol.get("/office/"))
    assert "at risk" not in said
    assert "Take the mesh off." in said
