"""The door into the log: one receipt per entry, one effect per id, nothing lost."""

import json
from datetime import UTC, datetime
from typing import Any

import pytest

from frames import entries as vocabulary
from frames import feed, flags, log, state, state_version
from frames.models import Entry, Feed, InstallState, Refused, ScreenState
from tests.log.making import Maker, Phone

pytestmark = pytest.mark.django_db
NOW = datetime(2026, 11, 25, 12, tzinfo=UTC)
Raw = dict[str, Any]


def push(*raws: Any, device: str = "phone:1") -> list[log.Receipt]:
    return log.append(list(raws), device=device, received_at=NOW)


@pytest.fixture
def maker() -> Maker:
    return Maker(7)


def test_each_new_entry_is_stored_with_its_place_in_the_feed(maker: Maker) -> None:
    fitted = maker.fit(maker.frames[0])
    check = maker.on(maker.frames[0], "tension_check")
    receipts = push(fitted, check)
    assert [(r.id, r.status, r.seq) for r in receipts] == [
        (fitted["id"], "stored", 1),
        (check["id"], "stored", 2),
    ]
    told = Feed.objects.get(seq=2)
    assert (told.type, told.kind, str(told.object_id)) == ("entry", "tension_check", check["id"])
    assert told.body == check | {
        "seq": 2,
        "received_at": "2026-11-25T12:00:00.000Z",
        "flags": receipts[1].flags,
    }


def test_the_same_entry_again_is_a_duplicate_and_changes_nothing(maker: Maker) -> None:
    fitted = maker.fit(maker.frames[0])
    (first,) = push(fitted)
    stood = feed.head()
    again, twice = push(fitted, json.loads(json.dumps(fitted)), device="phone:2")
    assert [again.status, twice.status] == ["duplicate", "duplicate"]
    assert again.seq == first.seq
    assert feed.head() == stood
    assert Entry.objects.get().device == "phone:1"


def test_an_entry_twice_in_one_batch_is_stored_once(maker: Maker) -> None:
    fitted = maker.fit(maker.frames[0])
    assert [receipt.status for receipt in push(fitted, fitted)] == ["stored", "duplicate"]
    assert Entry.objects.count() == 1


def test_numbers_that_are_equal_make_no_other_entry(maker: Maker) -> None:
    """RFC 8785 writes 20 and 20.0 alike, so the digest takes them for the same."""
    check = maker.on(maker.frames[0], "stand_out")
    check |= {"frame": maker.frames[0].id}
    check["payload"] = {"bolts": [{"bolt": "A1", "stand_out_mm": 20}]}
    push(check)
    again = json.loads(json.dumps(check).replace(": 20}", ": 20.0}"))
    assert push(again)[0].status == "duplicate"


def test_other_content_under_the_same_id_is_refused_and_both_are_kept(maker: Maker) -> None:
    fitted = maker.fit(maker.frames[0])
    other = fitted | {"app": "another"}
    push(fitted)
    (receipt,) = push(other)
    assert receipt.status == "refused"
    assert receipt.problem["field"] == "id"
    assert "Save it again as a new entry" in receipt.problem["remedy"]
    assert Entry.objects.get().raw == fitted
    assert json.loads(Refused.objects.get().raw) == other


def test_one_bad_entry_never_stops_the_others(maker: Maker) -> None:
    frame = maker.frames[0]
    good = [maker.fit(frame), maker.on(frame, "tension_check"), maker.on(frame, "coated")]
    bad = [None, 17, "text", [], {}, {"id": 5}, good[0] | {"id": "x"}, good[1] | {"kind": None}]
    mixed = [bad[0], good[0], *bad[1:5], good[1], *bad[5:], good[2]]
    receipts = push(*mixed)
    assert [r.id for r in receipts if r.status == "stored"] == [entry["id"] for entry in good]
    assert sum(r.status == "refused" for r in receipts) == len(bad)
    assert ScreenState.objects.get().stencil == "coated"


def test_an_entry_without_a_usable_id_is_answered_by_its_place(maker: Maker) -> None:
    receipts = push(maker.fit(maker.frames[0]), {"kind": "note"}, 3.5)
    assert [receipt.body().get("place") for receipt in receipts] == [None, 1, 2]
    assert all("id" not in receipt.body() for receipt in receipts[1:])


def test_what_was_refused_is_kept_once_however_often_it_comes(maker: Maker) -> None:
    bad = maker.fit(maker.frames[0]) | {"frame": "nowhere"}
    for device in ("phone:1", "phone:1", "phone:2"):
        assert push(bad, device=device)[0].status == "refused"
    assert sorted(Refused.objects.values_list("device", flat=True)) == ["phone:1", "phone:2"]
    assert Refused.objects.standing().count() == 2


def test_an_unknown_kind_is_kept_and_folded_once_it_is_known(
    maker: Maker, monkeypatch: pytest.MonkeyPatch
) -> None:
    frame = maker.frames[0]
    push(maker.fit(frame))
    # Another dict, not this one with a key less: put back, the key would stand last.
    older = {kind: shape for kind, shape in vocabulary.KINDS.items() if kind != "coated"}
    for reader in (vocabulary, flags):
        monkeypatch.setattr(reader, "KINDS", older)
    (receipt,) = push(maker.on(frame, "coated"))
    assert (receipt.status, "unknown_kind" in receipt.flags) == ("stored", True)
    assert ScreenState.objects.get().stencil == "bare"
    monkeypatch.undo()
    assert state_version.rebuild() == 2
    assert ScreenState.objects.get().stencil == "coated"


def test_a_newer_version_is_kept_and_has_no_effect_yet(maker: Maker) -> None:
    frame = maker.frames[0]
    push(maker.fit(frame))
    (receipt,) = push(maker.on(frame, "coated") | {"v": 2, "payload": {"layers": 3}})
    assert (receipt.status, "newer_version" in receipt.flags) == ("stored", True)
    assert ScreenState.objects.get().stencil == "bare"


def test_numbering_is_kept_per_phone(maker: Maker) -> None:
    phone, frame = Phone(maker.new_id()), maker.frames[0]
    entries = [maker.fit(frame, phone=phone)]
    entries += [maker.entry("note", {"note": ""}, frame=frame.id, phone=phone) for _ in range(3)]
    push(entries[0], entries[3])
    install = InstallState.objects.get(install_id=phone.install_id)
    assert (install.highest, install.stored, install.missing) == (4, 2, 2)
    push(entries[1], entries[2], entries[3])
    install.refresh_from_db()
    assert (install.highest, install.stored, install.missing) == (4, 4, 0)


def test_a_batch_of_nothing_is_answered_by_nothing() -> None:
    assert push() == []
    assert feed.head().seq == 0


def test_a_failure_inside_leaves_nothing_behind(
    maker: Maker, monkeypatch: pytest.MonkeyPatch
) -> None:
    """All of a batch or nothing of it: the phone sends it again."""
    entries = [maker.fit(maker.frames[0]), maker.on(maker.frames[0], "coated")]

    def fail(*_: object) -> None:
        raise OSError("disk full")

    monkeypatch.setattr(state, "refresh", fail)
    with pytest.raises(OSError, match="disk full"):
        push(*entries)
    assert (Entry.objects.count(), Feed.objects.count(), feed.head().seq) == (0, 0, 0)
    monkeypatch.undo()
    assert [receipt.status for receipt in push(*entries)] == ["stored", "stored"]
