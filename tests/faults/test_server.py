"""What happens to the server: restored, killed, poisoned, far ahead. Everything comes back."""

import random
import shutil
import time
from pathlib import Path

import pytest

from shopfloor.position import FILE
from tests.faults.conftest import PhoneMaker
from tests.faults.phones import Phone
from tests.faults.shop import Json, ids, refused, replayed, rows, state, stored
from tests.shop_process import ShopProcess


def all_the_same(shop: ShopProcess, phones: list[Phone], frames: list[str]) -> None:
    """State on the server, a replay of its log, and what each phone folds."""
    kept = state(shop)
    assert kept == replayed(shop)
    for phone in phones:
        for frame in frames:
            folded = phone.ask("fold", name="one", frame=frame)
            assert folded["frame"] == kept["frames"][frame]


def fit(phone: Phone, book: Json, frame: str) -> Json:
    payload = {
        "mesh": book["meshes"][0],
        "warp": "x",
        "target_n_per_cm": 24,
        "tolerance_n_per_cm": 1.5,
    }
    return phone.save("mesh_fitted", frame=frame, payload=payload)


@pytest.mark.promise(7)
@pytest.mark.parametrize("sidecar", ["kept", "lost", "put back too"])
def test_f19_after_a_restore_phones_send_again_what_the_backup_lacks(
    phones: PhoneMaker, shop: ShopProcess, book: Json, tmp_path: Path, sidecar: str
) -> None:
    one, two, silent = phones(), phones(), phones()
    for phone in (one, two, silent):
        phone.network("good")
        phone.kick()
    frame = book["frames"][0]
    kept = [fit(one, book, frame), one.save("coated", frame=frame, payload={"note": ""})]
    shop.copy_database(tmp_path / "backup")
    shutil.copy(shop.data / FILE, tmp_path)
    lost = [one.save(frame=frame), two.save(frame=frame), two.save(frame=frame)]
    # This one pushes and its answers to pulls never come: it has receipts but no place.
    silent.network("good", plan=["good", "down"])
    lost.append(silent.save(frame=frame))
    one.kick()
    shop.stop()
    shop.put_database_back(tmp_path / "backup")
    if sidecar == "lost":
        (shop.data / FILE).unlink()
    elif sidecar == "put back too":
        shutil.copy(tmp_path / FILE, shop.data)
    shop.start()
    assert ids(stored(shop, one, two, silent)) == ids(kept)
    for phone in (two, one, silent, two, one):
        phone.kick()
        assert phone.states() == []
    assert sorted(ids(stored(shop, one, two, silent))) == sorted(ids(kept + lost))
    silent.kick()
    all_the_same(shop, [one, two, silent], [frame])


@pytest.mark.promise(7)
@pytest.mark.parametrize("sidecar", ["kept", "lost"])
def test_f4_a_push_that_arrives_after_a_restore_does_not_hide_what_else_was_lost(
    phones: PhoneMaker, shop: ShopProcess, book: Json, tmp_path: Path, sidecar: str
) -> None:
    """The newest entry is back by then, so it no longer shows that others are missing."""
    phone = phones()
    shop.copy_database(tmp_path / "backup")
    # No pull comes through, so the phone has receipts and no place in the feed.
    phone.network("down", plan=["good"])
    lost = [phone.save(frame=book["frames"][0])]
    phone.network("down", plan=["late"])
    lost.append(phone.save(frame=book["frames"][0]))
    phone.network("down", plan=["good"])
    phone.kick()
    assert phone.states() == []
    shop.stop()
    shop.put_database_back(tmp_path / "backup")
    if sidecar == "lost":
        (shop.data / FILE).unlink()
    shop.start()
    assert phone.ask("deliverLate") == 1
    assert ids(stored(shop, phone)) == ids(lost[1:])
    phone.network("good")
    phone.kick()
    assert sorted(ids(stored(shop, phone))) == sorted(ids(lost))


@pytest.mark.parametrize("other", ["other_app", "other_server"])
def test_f14_app_and_server_of_different_ages_hold_until_updated(
    phones: PhoneMaker, shop: ShopProcess, other: str
) -> None:
    phone = phones()
    entry = phone.save()
    phone.network(other)
    phone.kick()
    assert phone.states() == ["held: update needed"]
    assert phone.status()["held_reason"] == "update needed"
    assert stored(shop, phone) == []
    phone.network("good")
    phone.kick()
    assert phone.states() == []
    assert stored(shop, phone) == [entry]


@pytest.mark.promise(4)
def test_f22_poison_is_refused_alone_and_kept(phones: PhoneMaker, shop: ShopProcess) -> None:
    phone = phones()
    before = phone.save()
    phone.save(kind="")
    phone.save("tension_check", frame="no id at all", payload={"spots": []})
    unknown = phone.save("from_tomorrow", payload={"how": "nobody knows yet"})
    stray = phone.save(frame="0192aaaa-0000-7000-8000-00000000beef")
    phone.network("good")
    phone.kick()
    assert ids(stored(shop, phone)) == ids([before, unknown, stray])
    lines = phone.ask("outbox", name="one")
    assert [line["state"] for line in lines] == ["refused", "refused"]
    assert all(line["problem"]["title"] for line in lines)
    copies = refused(shop)
    assert all(any(line["entry"]["id"] in copy for copy in copies) for line in lines)
    query = "select flags from frames_entry where id in ('{}', '{}')"
    found = rows(shop.data, query.format(*(e["id"].replace("-", "") for e in (unknown, stray))))
    assert all(flags != "[]" for (flags,) in found)


@pytest.mark.promise(3)
def test_f23_the_same_id_with_another_body_is_refused_and_both_are_kept(
    phones: PhoneMaker, shop: ShopProcess
) -> None:
    one, two = phones(), phones()
    first = one.save(payload={"note": "the first"})
    other = two.save(id=first["id"], payload={"note": "not the first"})
    for phone in (one, two):
        phone.network("good")
        phone.kick()
    assert one.states() == []
    assert two.states() == ["refused"]
    assert stored(shop, one, two) == [first]
    assert any("not the first" in copy for copy in refused(shop))
    assert other["id"] == first["id"]


def test_f28_killed_between_insert_and_answer(phones: PhoneMaker, shop: ShopProcess) -> None:
    """What was committed outlives the kill, though the phone was never told."""
    phone = phones()
    entries = [phone.save() for _ in range(20)]
    phone.network("good", plan=["lost_answer"])
    phone.kick()
    shop.kill()
    phone.kick()
    assert phone.states() == ["waiting"] * 20
    shop.start()
    assert stored(shop, phone) == entries
    phone.kick()
    assert phone.states() == []
    assert stored(shop, phone) == entries


def test_f28_killed_at_some_moment_of_a_push(phones: PhoneMaker, shop: ShopProcess) -> None:
    phone = phones()
    moments = random.Random(28)
    entries: list[Json] = []
    for _ in range(4):
        phone.network("down")
        entries += phone.save_many(100)
        phone.network("good")
        pushing = phone.host.begin(phone.name, "kick")
        time.sleep(moments.uniform(0, 0.15))
        shop.kill()
        phone.host.collect(pushing)
        # Nothing half done: every entry that left the outbox is in the log.
        gone = len(entries) - len(phone.states())
        assert len(stored(shop, phone)) >= gone
        shop.start()
        phone.kick()
        assert phone.states() == []
        assert sorted(ids(stored(shop, phone))) == sorted(ids(entries))
    assert state(shop) == replayed(shop)


def test_f31_f32_a_large_outbox_and_a_phone_far_behind(
    phones: PhoneMaker, shop: ShopProcess, book: Json, request: pytest.FixtureRequest
) -> None:
    """`--outbox 10000` makes it as many as a phone must be able to hold."""
    many = request.config.getoption("outbox")
    behind, ahead = phones(), phones()
    behind.network("good")
    behind.kick()
    frame = book["frames"][1]
    ahead.save_many(many, frame=frame)
    ahead.network("good")
    ahead.kick()
    assert ahead.states() == []
    assert [entry["device_seq"] for entry in stored(shop, ahead)] == list(range(1, many + 1))
    pushes = [one for one in ahead.ask("requests") if one == "good /api/v1/sync/push"]
    assert len(pushes) == -(-many // 100)
    behind.ask("requests")
    behind.passes(100)
    assert len(behind.ask("entries", name="one", frame=frame)) >= many
    assert set(behind.ask("requests")) == {"good /api/v1/sync/changes"}


def test_f33_a_frame_retired_meanwhile_still_takes_its_entries(
    phones: PhoneMaker, shop: ShopProcess, book: Json
) -> None:
    phone = phones()
    frame = book["frames"][2]
    entry = phone.save(frame=frame)
    shop.python(
        "from frames import things\n"
        "from frames.models import Frame\n"
        f"frame = Frame.objects.get(pk='{frame}')\n"
        "things.retire('frame', frame.pk, frame.version, by='test')\n"
    )
    phone.network("good")
    phone.kick()
    assert phone.states() == []
    assert stored(shop, phone) == [entry]
    found = [one for one in phone.ask("things", name="one", kind="frame") if one["id"] == frame]
    assert found[0]["retired"] is True
