"""GET sync/snapshot: all that a phone holds, page by page."""

from typing import Any
from uuid import uuid4

import pytest

from frames import feed, things
from shopfloor.api import snapshot as pages
from tests.api.cast import Phone, shop
from tests.api.cast import frame as make_frame
from tests.api.entries import check, correction, entry, mesh_fitted, note, void
from tests.api.error_shape import assert_problem

pytestmark = pytest.mark.django_db


@pytest.fixture
def frame() -> str:
    return str(uuid4())


def objects(items: list[dict[str, Any]], type: str) -> list[str]:
    return [item["object"] for item in items if item["type"] == type]


def test_an_empty_shop_is_one_empty_page(phone: Phone) -> None:
    page = phone.get("sync/snapshot").json()
    assert (page["items"], page["next"]) == ([], None)
    assert (page["seq"], page["id"]) == (0, None)


def test_it_holds_state_and_the_entries_behind_it(phone: Phone, frame: str) -> None:
    mesh = mesh_fitted(frame)
    reading = check(mesh)
    phone.push(mesh, reading)
    items = phone.take_snapshot()
    assert objects(items, "entry") == [mesh["id"], reading["id"]]
    assert sorted(objects(items, "state")) == sorted([frame, mesh["id"]])
    screen = next(item for item in items if item["kind"] == "screen")
    assert screen["body"]["checks"]["bare"]["mean"] == 24.5


def test_it_holds_the_things_also_those_out_of_use(phone: Phone) -> None:
    house, standing, old = shop(), make_frame(1), make_frame(2)
    things.retire("frame", old.pk, old.version, by="mara")
    found = {item["object"]: item["body"] for item in phone.take_snapshot()}
    assert set(found) == {str(house.pk), str(standing.pk), str(old.pk)}
    assert found[str(old.pk)]["retired"] is True
    assert found[str(standing.pk)]["code"] == "F0001-" + standing.code[-1]


def test_the_changes_go_on_where_it_ends(phone: Phone, other_phone: Phone, frame: str) -> None:
    other_phone.push(mesh_fitted(frame))
    phone.take_snapshot()
    assert phone.take_changes() == []
    later = note()
    other_phone.push(later)
    assert [change["object"] for change in phone.take_changes()] == [later["id"]]


def test_of_an_ended_screen_only_what_tells_about_the_frame(phone: Phone, frame: str) -> None:
    old = mesh_fitted(frame, occurred_at="2026-01-10T08:00:00.000+00:00")
    old_check = check(old, occurred_at="2026-01-11T08:00:00.000+00:00")
    new = mesh_fitted(frame)
    phone.push(old, old_check, new)
    items = phone.take_snapshot()
    assert objects(items, "entry") == [old["id"], new["id"]]
    screens = [item["object"] for item in items if item["kind"] == "screen"]
    assert screens == [new["id"]]


def test_a_check_corrected_over_from_an_ended_screen_is_held(phone: Phone, frame: str) -> None:
    old = mesh_fitted(frame, occurred_at="2026-01-10T08:00:00.000+00:00")
    new = mesh_fitted(frame, occurred_at="2026-02-10T08:00:00.000+00:00")
    wrong = check(old, occurred_at="2026-02-11T08:00:00.000+00:00")
    phone.push(old, new, wrong, correction(wrong, screen=new["id"]))
    items = phone.take_snapshot()
    assert wrong["id"] in objects(items, "entry")
    (screen,) = [item["body"] for item in items if item["kind"] == "screen"]
    assert screen["last_check"]["id"] == wrong["id"]


def test_a_check_corrected_over_later_comes_with_the_changes(
    phone: Phone, other_phone: Phone, frame: str
) -> None:
    old = mesh_fitted(frame, occurred_at="2026-01-10T08:00:00.000+00:00")
    new = mesh_fitted(frame, occurred_at="2026-02-10T08:00:00.000+00:00")
    wrong = check(old, occurred_at="2026-02-11T08:00:00.000+00:00")
    other_phone.push(old, new, wrong)
    assert wrong["id"] not in objects(phone.take_snapshot(), "entry")
    other_phone.push(correction(wrong, screen=new["id"]))
    assert wrong["id"] in objects(phone.take_changes(), "entry")


def test_an_entry_of_a_screen_still_unknown_here_is_held(phone: Phone, frame: str) -> None:
    """The phone that fitted the mesh has not sent so yet; its entry will come as a change."""
    mesh = mesh_fitted(frame)
    early = check(mesh)
    phone.push(early)
    assert objects(phone.take_snapshot(), "entry") == [early["id"]]
    phone.push(mesh)
    (state,) = [one for one in phone.take_changes() if one["kind"] == "screen"]
    assert state["body"]["last_check"]["id"] == early["id"]


def test_voids_and_what_they_void_are_held(phone: Phone, frame: str) -> None:
    mesh = mesh_fitted(frame)
    slip = check(mesh)
    undone = void(slip)
    phone.push(mesh, slip, undone)
    assert objects(phone.take_snapshot(), "entry") == [mesh["id"], slip["id"], undone["id"]]


def test_an_entry_that_names_no_screen_is_held(phone: Phone, frame: str) -> None:
    phone.push(mesh_fitted(frame))
    loose = note(frame=frame)
    phone.push(loose)
    assert loose["id"] in objects(phone.take_snapshot(), "entry")


def test_where_a_frame_is_outlives_its_screens(phone: Phone, frame: str) -> None:
    mesh = mesh_fitted(frame)
    place = {"to": "rack", "rack": "R3", "press": None, "station": None}
    moved = entry("moved", place, frame=frame, screen=mesh["id"])
    removed = entry("mesh_removed", {"note": ""}, frame=frame, screen=mesh["id"])
    phone.push(mesh, moved, removed)
    items = phone.take_snapshot()
    assert objects(items, "entry") == [mesh["id"], moved["id"], removed["id"]]
    assert [item["kind"] for item in items if item["type"] == "state"] == ["frame"]


def test_pages_add_up_to_the_whole(phone: Phone, frame: str, monkeypatch: Any) -> None:
    mesh = mesh_fitted(frame)
    phone.push(mesh, *(check(mesh, 20 + place / 10) for place in range(20)), note(frame=frame))
    whole = phone.take_snapshot()
    for size in (1, 2, 7):
        monkeypatch.setattr(pages, "PAGE", size)
        assert phone.take_snapshot() == whole


def test_every_page_names_the_place_of_the_first(
    phone: Phone, other_phone: Phone, frame: str, monkeypatch: Any
) -> None:
    monkeypatch.setattr(pages, "PAGE", 2)
    mesh = mesh_fitted(frame)
    phone.push(mesh, check(mesh), check(mesh))
    first = phone.get("sync/snapshot").json()
    other_phone.push(check(mesh))
    second = phone.get("sync/snapshot", after=first["next"]).json()
    assert (second["seq"], second["id"]) == (first["seq"], first["id"])
    assert feed.head().seq > first["seq"]


def test_unchanged_is_304(phone: Phone, other_phone: Phone) -> None:
    phone.push(note())
    tag = phone.get("sync/snapshot")["ETag"]
    again = phone.client.get("/api/v1/sync/snapshot", headers={"If-None-Match": tag})
    assert (again.status_code, again.content, again["ETag"]) == (304, b"", tag)
    other_phone.push(note())
    later = phone.client.get("/api/v1/sync/snapshot", headers={"If-None-Match": tag})
    assert later.status_code == 200
    assert later["ETag"] != tag


def test_it_may_be_kept_by_this_browser_alone(phone: Phone) -> None:
    assert phone.get("sync/snapshot")["Cache-Control"] == "private, no-cache"


def test_a_cursor_of_before_a_restore_is_gone(phone: Phone, monkeypatch: Any) -> None:
    monkeypatch.setattr(pages, "PAGE", 1)
    mesh = mesh_fitted(str(uuid4()))
    phone.push(mesh, check(mesh))
    cursor = phone.get("sync/snapshot").json()["next"]
    feed.new_epoch()
    assert_problem(phone.get("sync/snapshot", after=cursor), 410, "gone")


@pytest.mark.parametrize("forged", ["zzz", "WyJ4Il0:1:sig", "."])
def test_a_forged_cursor_is_refused(phone: Phone, forged: str) -> None:
    body = assert_problem(phone.get("sync/snapshot", after=forged), 400, "unreadable")
    assert body["detail"] == "`after` is no cursor of this server. Begin the snapshot anew."


def test_a_retired_phone_reads_nothing(retired_phone: Phone) -> None:
    assert_problem(retired_phone.get("sync/snapshot"), 403, "retired")
