"""The screen room: needed against ready, stencils kept, frames away, one number for a set."""

from datetime import timedelta

import pytest
from django.test import Client
from django.utils import timezone

from frames import things
from frames.models import Entry, Frame, ScreenState
from shopfloor.office.screen_room import Group
from tests.pages.floor import Floor
from tests.pages.reading import errors, fields, words

pytestmark = pytest.mark.django_db
ROOM = "/office/screen-room/"


def due(floor: Floor, days: int, **more: object) -> None:
    day = timezone.localdate() + timedelta(days=days)
    floor.job.refresh_from_db()
    things.change("job", floor.job.pk, {"due": day, **more}, floor.job.version, "desk:mara")


def colour(floor: Floor, position: int, name: str) -> str:
    values = {"job": str(floor.job.pk), "position": position, "name": name}
    return str(floor.make("colour", **values, mesh=str(floor.mesh.pk)).pk)


def groups(client: Client, **asked: str) -> list[Group]:
    return client.get(ROOM, asked).context["groups"]


def counted(group: Group) -> tuple[int, ...]:
    free = group.free
    return (len(group.colours), group.ready, group.in_hand, group.to_make,
            len(free.coated), len(free.bare), len(free.others), group.short)  # fmt: skip


def test_needed_against_ready_by_mesh_and_size(sol: Client, floor: Floor) -> None:
    due(floor, 3, inside_a_mm=1000, inside_b_mm=800)
    names = [colour(floor, n, name) for n, name in enumerate(("red", "ochre", "grey"), 2)]
    frames = [floor.screen(floor.frame(n), 22) for n in (1, 2)]
    floor.screen(floor.frame(3), 18)
    floor.screen(floor.frame(4, inside_b_mm=900), 22)
    job = {"job": str(floor.job.pk), "colour": names[0]}
    floor.tell("exposed", job, frames[0])
    any_mesh, wanted = sorted(groups(sol), key=lambda group: len(group.colours))
    assert (wanted.mesh, wanted.size) == ("77-48 polyester", "1000 × 800 mm")
    assert counted(wanted) == (3, 0, 1, 2, 0, 1, 1, 1)
    assert any_mesh.mesh == "any mesh"
    floor.tell("inspected", {"passed": True, "note": ""}, frames[0])
    floor.tell("coated", {"note": ""}, frames[1])
    [wanted] = [group for group in groups(sol) if group.mesh == "77-48 polyester"]
    assert counted(wanted) == (3, 1, 0, 2, 1, 0, 1, 1)
    said = words(sol.get(ROOM))
    assert "77-48 polyester 1000 × 800 mm 3 1 0 2 1 0 1 short" in said
    assert "2291 ochre no screen exposed yet" in said


def test_the_shop_says_how_far_it_looks_ahead(sol: Client, floor: Floor) -> None:
    due(floor, 12)
    assert groups(sol) == []
    assert "No job is due by then." in words(sol.get(ROOM))
    assert len(groups(sol, days="14")) == len(groups(sol, days="all")) == 1
    assert len(groups(sol, days="nonsense")) == 0
    things.change("shop", floor.shop.pk, {"look_ahead_days": 12}, 1, "desk:mara")
    assert len(groups(sol)) == 1
    due(floor, -4)
    assert len(groups(sol, days="3")) == 1
    due(floor, 1, done=True)
    assert groups(sol, days="all") == []


def stored(floor: Floor, rack: str) -> Frame:
    frame = floor.screen(floor.frame(1), 22)
    floor.expose(frame)
    floor.tell("inspected", {"passed": True, "note": ""}, frame)
    floor.tell("moved", {"to": "rack", "rack": rack}, frame, hours=0.5)
    return frame


def test_a_kept_stencil_has_its_place_and_is_offered_for_no_other_job(
    sol: Client, floor: Floor
) -> None:
    frame = stored(floor, "D4")
    due(floor, 0, done=True)
    page = sol.get(f"{ROOM}stencils/")
    assert ([], [frame]) == (page.context["kept"], [k.stand.frame for k in page.context["over"]])
    due(floor, 0, keep_stencils=True)
    page = sol.get(f"{ROOM}stencils/")
    assert page.context["over"] == []
    assert f"2291 Dial plates 1 blue {frame.code} rack D4 inspected" in words(page)
    other = floor.make("job", number="2300", title="Mugs", tolerance_mm=0.2,
                       due=timezone.localdate())  # fmt: skip
    floor.make("colour", job=str(other.pk), position=1, name="blue", mesh=str(floor.mesh.pk))
    [group] = groups(sol)
    assert counted(group) == (1, 0, 0, 1, 0, 0, 0, 1)


def test_frames_away_say_how_they_come_back(sol: Client, floor: Floor) -> None:
    lost, gone = floor.screen(floor.frame(1), 22), floor.screen(floor.frame(2), 22)
    floor.tell("moved", {"to": "lost"}, lost)
    floor.tell("moved", {"to": "scrapped"}, gone)
    said = words(sol.get(f"{ROOM}away/"))
    assert f"Lost 1 {lost.code}" in said
    assert f"Scrapped 1 {gone.code}" in said
    address = f"/office/frames/{lost.pk}/write/moved/?to=rack"
    held = fields(sol.get(address))
    assert held["to"] == "rack"
    sol.post(address, held | {"rack": "A2"})
    entry = Entry.objects.get(frame_id=gone.pk, kind="moved")
    void = f"/office/log/{entry.pk}/void/"
    sol.post(void, fields(sol.get(void)) | {"reason": "wrong frame scanned"})
    assert [len(frames) for _, _, frames in sol.get(f"{ROOM}away/").context["groups"]] == [0, 0, 0]
    assert ScreenState.objects.live().filter(frame=gone.pk).exists()


def test_one_number_counts_for_every_screen_of_the_set_on_press(sol: Client, floor: Floor) -> None:
    second = colour(floor, 2, "red")
    frames = [floor.screen(floor.frame(n), 22) for n in (1, 2, 3)]
    floor.expose(frames[0])
    floor.tell("exposed", {"job": str(floor.job.pk), "colour": second}, frames[1])
    for station, frame in enumerate(frames, 1):
        floor.on_press(frame, station)
    address = f"/office/jobs/{floor.job.pk}/count/"
    held = fields(sol.get(address)) | {"count": "1.240"}
    assert errors(sol.post(address, held))["count"][0].startswith("“1.240” is not a whole")
    for _ in range(2):
        sol.post(address, held | {"count": "1240"})
    assert "this form was saved before" in words(sol.post(address, held | {"count": "1420"}))
    printed = dict(ScreenState.objects.values_list("frame", "body__impressions"))
    assert printed == {frames[0].pk: 1240, frames[1].pk: 1240, frames[2].pk: 0}
    assert Entry.objects.filter(kind="impressions").count() == 2


def test_a_set_that_is_on_no_press(sol: Client, floor: Floor) -> None:
    said = words(sol.get(f"/office/jobs/{floor.job.pk}/count/"))
    assert "No screen of this job is on a press." in said
