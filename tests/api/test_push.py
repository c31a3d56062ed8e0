"""POST sync/push: entries come in, each is answered for alone."""

from uuid import uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils.dateparse import parse_datetime

from frames.models import Entry, Refused
from tests.api.cast import Phone, device_of
from tests.api.entries import mesh_fitted, note
from tests.api.error_shape import assert_problem

pytestmark = pytest.mark.django_db


def test_it_stores_entries_and_answers_for_each(phone: Phone) -> None:
    first, second = note(), note()
    answer = phone.push(first, second)
    assert [receipt["id"] for receipt in answer["receipts"]] == [first["id"], second["id"]]
    assert [receipt["status"] for receipt in answer["receipts"]] == ["stored", "stored"]
    assert answer["receipts"][1]["seq"] == answer["receipts"][0]["seq"] + 1
    assert Entry.objects.count() == 2


def test_it_says_where_the_feed_stands(phone: Phone) -> None:
    answer = phone.push(note())
    assert answer["protocol"] == 1
    assert answer["head"]["seq"] == answer["receipts"][0]["seq"]
    assert answer["head"]["id"]
    assert answer["epoch"]
    assert parse_datetime(answer["server_time"]).utcoffset().total_seconds() == 0


def test_the_same_entry_again_is_a_duplicate(phone: Phone, other_phone: Phone) -> None:
    once = note()
    seq = phone.push(once)["receipts"][0]["seq"]
    for again in (phone, other_phone):
        (receipt,) = again.push(once)["receipts"]
        assert (receipt["status"], receipt["seq"]) == ("duplicate", seq)
    assert Entry.objects.count() == 1


def test_an_entry_twice_in_one_push_is_stored_once(phone: Phone) -> None:
    once = note()
    receipts = phone.push(once, once)["receipts"]
    assert [receipt["status"] for receipt in receipts] == ["stored", "duplicate"]


def test_one_bad_entry_never_stops_the_others(phone: Phone) -> None:
    bad = note() | {"frame": "the big one"}
    receipts = phone.push(note(), bad, 7, note())["receipts"]
    assert [receipt["status"] for receipt in receipts] == ["stored", "refused", "refused", "stored"]
    assert receipts[1]["id"] == bad["id"]
    assert receipts[1]["problem"]["field"] == "frame"
    assert (receipts[2]["id"], receipts[2]["place"]) == (None, 2)
    assert Refused.objects.count() == 2


def test_the_same_id_with_other_content_is_refused_and_both_are_kept(phone: Phone) -> None:
    first = note("As it was")
    phone.push(first)
    (receipt,) = phone.push(first | {"payload": {"note": "As it was not"}})["receipts"]
    assert receipt["status"] == "refused"
    assert Entry.objects.get().raw["payload"] == {"note": "As it was"}
    assert "As it was not" in Refused.objects.get().raw


def test_a_newer_kind_and_an_unknown_frame_are_stored_and_flagged(phone: Phone) -> None:
    newer, lost = note() | {"kind": "hologram"}, note(frame=str(uuid4()))
    receipts = phone.push(newer, lost)["receipts"]
    assert [receipt["status"] for receipt in receipts] == ["stored", "stored"]
    assert all(receipt["flags"] for receipt in receipts)


def test_a_number_too_large_for_json_comes_back_as_text(phone: Phone) -> None:
    body = phone.envelope([note() | {"mono_ms": "BIG"}])
    text = str(body).replace("'BIG'", "1e999").replace("'", '"').replace("None", "null")
    response = phone.post("sync/push", text.encode())
    assert response.json()["receipts"][0]["problem"]["value"] == "inf"


def test_the_device_comes_from_the_cookie_alone(phone: Phone) -> None:
    phone.push(note() | {"device": "somebody else"})
    assert Entry.objects.get().device == f"phone:{device_of(phone).pk}"


def test_it_remembers_what_the_phone_said_about_itself(phone: Phone) -> None:
    oldest = "2026-11-25T08:00:00Z"
    phone.push(note(), outbox={"unsent": 3, "oldest_at": oldest, "refused": 1})
    device = device_of(phone)
    assert device.last_contact_at is not None
    assert device.last_seen == {
        "app": "0.1.0",
        "unsent": 3,
        "oldest_at": oldest,
        "refused": 1,
        "install_id": str(phone.install_id),
    }


def test_it_waits_for_the_disk_once(phone: Phone) -> None:
    phone.push(note())
    with CaptureQueriesContext(connection) as asked:
        phone.push(note(), outbox={"unsent": 7, "oldest_at": None, "refused": 0})
    assert device_of(phone).last_seen["unsent"] == 7
    words = [query["sql"].split()[0] for query in asked]
    writes = [place for place, word in enumerate(words) if word in {"INSERT", "UPDATE", "DELETE"}]
    assert words.count("SAVEPOINT") == words.count("RELEASE") == 1
    assert words.index("SAVEPOINT") < min(writes) <= max(writes) < words.index("RELEASE")


def test_it_remembers_that_a_phone_began_to_number_anew(phone: Phone) -> None:
    install = {"id": str(uuid4()), "started_at": "2026-11-25T08:00:00Z", "reason": "numbering lost"}
    phone.push(note(), install=install)
    seen = device_of(phone).last_seen
    assert (seen["started_at"], seen["reason"]) == ("2026-11-25T08:00:00Z", "numbering lost")


def test_another_protocol_is_said_to_need_an_update(phone: Phone) -> None:
    body = phone.envelope([note()], protocol=2)
    problem = assert_problem(phone.post("sync/push", body), 422, "invalid")
    remedy = "Update the older of the two: this server speaks protocol 1."
    assert problem["errors"] == [{"field": "protocol", "value": 2, "remedy": remedy}]
    assert not Entry.objects.exists()


def test_what_it_says_about_itself_is_made_fit_to_be_shown(phone: Phone) -> None:
    phone.push(note() | {"app": "1.0\x00\x1b[2J\u202e" + "x" * 60})
    assert device_of(phone).last_seen["app"] == "1.0[2J" + "x" * 31


@pytest.mark.parametrize(
    "broken",
    [
        {"protocol": "two"},
        {"install_id": 5},
        {"phone_time": "noon"},
        {"epoch": "old"},
        {"head": 12},
        {"acked": ["?"]},
        {"outbox": "full"},
        {"install": {"started_at": 7, "reason": "because"}},
        {"outbox": {"unsent": -1, "oldest_at": "soon", "refused": "none"}},
        {"something": "from a newer app"},
    ],
)
def test_what_only_accompanies_the_entries_never_stops_them(phone: Phone, broken: dict) -> None:
    assert phone.push(note(), **broken)["receipts"][0]["status"] == "stored"


def test_an_empty_push_is_a_sign_of_life(phone: Phone) -> None:
    assert phone.push()["receipts"] == []
    assert device_of(phone).last_contact_at is not None


def test_more_than_a_hundred_entries_are_too_many(phone: Phone) -> None:
    assert len(phone.push(*(note() for _ in range(100)))["receipts"]) == 100
    body = phone.envelope([note() for _ in range(101)])
    assert_problem(phone.post("sync/push", body), 413, "too-large")
    assert Entry.objects.count() == 100


def test_a_retired_phone_may_still_send_what_it_holds(retired_phone: Phone) -> None:
    assert retired_phone.push(note())["receipts"][0]["status"] == "stored"


def test_a_mesh_makes_a_screen(phone: Phone) -> None:
    mesh = mesh_fitted(str(uuid4()))
    phone.push(mesh)
    kinds = {(change["type"], change["kind"]) for change in _changes(phone)}
    assert {("entry", "mesh_fitted"), ("state", "frame"), ("state", "screen")} <= kinds


def _changes(phone: Phone) -> list[dict]:
    phone.epoch = phone.push()["epoch"]
    return phone.take_changes()
