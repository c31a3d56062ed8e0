"""What happens on the phone: killed at every storage step, several tabs, leases left behind."""

import pytest

from tests.faults.conftest import PhoneMaker
from tests.faults.phones import Phone
from tests.faults.shop import Json, ids, stored
from tests.shop_process import ShopProcess


@pytest.mark.promise(1)
def test_f7_killed_at_every_step_of_sending_and_being_answered(
    phones: PhoneMaker, shop: ShopProcess
) -> None:
    """Whatever step is the last one, the entries are in the log once and leave the outbox."""
    phone = phones()
    saved: list[str] = []
    for step in range(1, 400):
        phone.network("down")
        entries = [phone.save() for _ in range(2)]
        saved += ids(entries)
        phone.ask("dieAt", name="one", step=step)
        phone.network("good")
        survived = phone.kick() == "rested"
        phone.restart()
        phone.kick()
        assert phone.states() == [], f"step {step}"
        assert sorted(ids(stored(shop, phone))) == sorted(saved), f"step {step}"
        if survived:
            assert step > 40, "storage was hardly used: is it being watched?"
            return
    pytest.fail("sending never came to an end")


def test_f7_killed_at_every_step_of_a_first_snapshot(
    phones: PhoneMaker, shop: ShopProcess, book: Json
) -> None:
    writer = phones()
    writer.network("good")
    entry = writer.save(frame=book["frames"][0])
    for step in range(1, 400):
        phone = phones()
        phone.network("good")
        phone.ask("dieAt", name="one", step=step)
        survived = phone.kick() == "rested"
        phone.restart()
        phone.kick()
        assert len(phone.ask("things", name="one", kind="frame")) == len(book["frames"])
        held = phone.ask("entries", name="one", frame=book["frames"][0])
        assert entry["id"] in ids(held), f"step {step}"
        if survived:
            return
    pytest.fail("the snapshot never came to an end")


@pytest.mark.promise(2)
def test_f9_two_tabs_drain_one_outbox(phones: PhoneMaker, shop: ShopProcess) -> None:
    phone = phones()
    phone.open("two")
    entries = [phone.save(tab=tab) for tab in ("one", "two") * 10]
    assert [entry["device_seq"] for entry in entries] == list(range(1, 21))
    phone.network("good")
    phone.kick("two")
    phone.kick("one")
    assert phone.states() == []
    assert stored(shop, phone) == entries
    assert phone.ask("counts", name="two")["unsent"] == 0


def test_f9_two_tabs_where_the_browser_has_no_locks(phones: PhoneMaker, shop: ShopProcess) -> None:
    phone = phones(locks=False)
    phone.open("two")
    entries = [phone.save(tab=tab) for tab in ("one", "two") * 10]
    phone.network("twice")
    phone.kick("two")
    phone.kick("one")
    assert phone.states() == []
    assert sorted(ids(stored(shop, phone))) == sorted(ids(entries))


def test_f9_the_same_form_saved_in_two_tabs_is_one_entry(
    phones: PhoneMaker, shop: ShopProcess
) -> None:
    phone = phones()
    phone.open("two")
    first = phone.save()
    again = phone.save(tab="two", id=first["id"])
    assert again == first
    phone.network("good")
    phone.kick()
    assert stored(shop, phone) == [first]


def left_sending(phone: Phone) -> Json:
    """An entry that a tab had under way when it was killed."""
    entry = phone.save()
    for step in range(3, 40):
        phone.ask("dieAt", name="one", step=step)
        phone.network("lost_answer")
        phone.kick()
        phone.network("down")
        phone.ask("kill", name="one")
        phone.ask("open", name="peek")
        found = phone.states("peek")
        phone.ask("kill", name="peek")
        if found == ["sending"]:
            return entry
        phone.open()
    pytest.fail("no step leaves an entry under way")


def test_f10_a_lease_left_by_a_dead_tab_runs_out(phones: PhoneMaker, shop: ShopProcess) -> None:
    phone = phones(locks=False)
    entry = left_sending(phone)
    phone.network("good")
    phone.open()
    phone.kick()
    phone.passes(61)
    phone.kick()
    assert phone.states() == []
    assert stored(shop, phone) == [entry]


def test_f10_a_frozen_tab_that_holds_the_lock_does_not_stop_the_others(
    phones: PhoneMaker, shop: ShopProcess
) -> None:
    phone = phones()
    phone.ask("freezeLock")
    phone.network("good")
    entry = phone.save()
    assert phone.states() == ["queued"]
    phone.passes(240)
    assert phone.states() == []
    assert stored(shop, phone) == [entry]


def test_f17_a_database_closed_in_the_background_is_opened_again(
    phones: PhoneMaker, shop: ShopProcess
) -> None:
    phone = phones()
    first = phone.save()
    phone.ask("closeDatabase", name="one")
    phone.network("good")
    second = phone.save()
    assert phone.states() == []
    assert stored(shop, phone) == [first, second]
