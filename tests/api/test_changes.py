"""GET sync/changes: all that changed, in order, without gaps; 410 where the place is void."""

from uuid import uuid4

import pytest

from frames import feed
from tests.api.cast import Phone, device_of
from tests.api.entries import check, mesh_fitted, note
from tests.api.error_shape import assert_problem

pytestmark = pytest.mark.django_db


@pytest.fixture
def settled(phone: Phone) -> Phone:
    """A phone that has pushed and pulled."""
    phone.epoch = phone.push(note(), note(), note())["epoch"]
    phone.take_changes()
    return phone


def test_it_tells_what_another_phone_wrote(settled: Phone, other_phone: Phone) -> None:
    written = note("Seen by press 3")
    other_phone.push(written)
    (change,) = settled.take_changes()
    assert (change["type"], change["kind"], change["object"]) == ("entry", "note", written["id"])
    assert change["body"]["payload"] == {"note": "Seen by press 3"}
    assert change["body"]["seq"] == change["seq"]


def test_places_are_contiguous_over_all_pages(phone: Phone) -> None:
    mesh = mesh_fitted(str(uuid4()))
    phone.epoch = phone.push(mesh, check(mesh), check(mesh), note())["epoch"]
    seen = []
    while True:
        answer = phone.ask_changes(limit=2).json()
        seen += [change["seq"] for change in answer["changes"]]
        phone.head = {key: answer["changes"][-1][key] for key in ("seq", "id")}
        if not answer["more"]:
            break
    assert seen == list(range(1, feed.head().seq + 1))
    assert phone.head == answer["head"]


def test_nothing_new_is_an_empty_list(settled: Phone) -> None:
    answer = settled.ask_changes().json()
    assert (answer["changes"], answer["more"]) == ([], False)
    assert answer["head"] == settled.head


def test_it_remembers_what_still_waits_on_the_phone(settled: Phone) -> None:
    settled.ask_changes(unsent=4, oldest_at="2026-11-25T08:00:00Z")
    seen = device_of(settled).last_seen
    assert (seen["unsent"], seen["oldest_at"]) == (4, "2026-11-25T08:00:00+00:00")


def test_a_place_beyond_the_head_is_gone(settled: Phone) -> None:
    settled.head["seq"] += 1
    body = assert_problem(settled.ask_changes(), 410, "gone")
    assert body["detail"] == "Change 4 is not the one you saw. Push again, take a snapshot."


def test_another_change_at_that_place_is_gone(settled: Phone) -> None:
    assert_problem(settled.ask_changes(id=str(uuid4())), 410, "gone")


def test_a_place_without_the_id_seen_there_is_gone(settled: Phone) -> None:
    assert_problem(settled.ask_changes(id=None), 410, "gone")


def test_another_epoch_is_gone(settled: Phone) -> None:
    feed.new_epoch()
    body = assert_problem(settled.ask_changes(), 410, "gone")
    assert body["detail"] == "The database was restored since. Push again, then take a snapshot."


def test_an_acknowledged_entry_that_is_not_held_is_gone(settled: Phone) -> None:
    lost = str(uuid4())
    body = assert_problem(settled.ask_changes(acked=lost), 410, "gone")
    assert body["detail"] == f"Entry {lost} is not held here. Push again, then take a snapshot."


def test_what_one_phone_claims_disturbs_no_other(settled: Phone, other_phone: Phone) -> None:
    other_phone.epoch = settled.epoch
    other_phone.take_changes()
    before = feed.head()
    settled.ask_changes(id=str(uuid4()))
    settled.ask_changes(acked=str(uuid4()))
    assert feed.head() == before
    assert other_phone.ask_changes().status_code == 200


def test_a_retired_phone_reads_nothing(retired_phone: Phone) -> None:
    retired_phone.epoch = feed.head().epoch
    assert_problem(retired_phone.ask_changes(), 403, "retired")


def test_a_state_that_is_no_more_has_no_body(settled: Phone) -> None:
    with feed.change() as turn:
        turn.append("state", "screen", uuid4(), None)
    (change,) = settled.take_changes()
    assert change["body"] is None
