"""What the network does to a batch: once, twice, late, cut, unanswered. One effect per entry id."""

import pytest

from tests.faults.conftest import PhoneMaker
from tests.faults.phones import Phone
from tests.faults.shop import ids, stored
from tests.shop_process import ShopProcess


def arrives_once(phone: Phone, shop: ShopProcess, entries: list[dict]) -> None:
    """Everything that was saved is in the log, once, as it was saved, and out of the outbox."""
    assert phone.states() == []
    assert stored(shop, phone) == entries
    assert phone.status()["state"] == "idle"


@pytest.mark.promise(2)
def test_f1_the_same_batch_twice_and_at_once(phones: PhoneMaker, shop: ShopProcess) -> None:
    phone = phones()
    entries = [phone.save() for _ in range(5)]
    phone.network("twice")
    phone.kick()
    arrives_once(phone, shop, entries)


def test_f2_the_answer_is_lost_after_the_commit(phones: PhoneMaker, shop: ShopProcess) -> None:
    phone = phones()
    entry = phone.save()
    phone.network("good", plan=["lost_answer"])
    phone.kick()
    assert ids(stored(shop, phone)) == [entry["id"]]
    assert phone.states() == ["waiting"]
    phone.kick()
    arrives_once(phone, shop, [entry])


def test_f3_the_request_is_lost(phones: PhoneMaker, shop: ShopProcess) -> None:
    phone = phones()
    entry = phone.save()
    phone.network("good", plan=["down", "down"])
    phone.kick()
    assert stored(shop, phone) == []
    phone.kick()
    assert phone.states() == ["waiting"]
    phone.kick()
    arrives_once(phone, shop, [entry])


def test_f4_batches_come_late_overlapping_and_in_the_wrong_order(
    phones: PhoneMaker, shop: ShopProcess
) -> None:
    phone = phones()
    phone.network("late")
    entries = [phone.save()]
    entries.append(phone.save())
    entries.append(phone.save())
    # Three batches are under way: the first entry, the first two, all three.
    phone.network("good")
    assert phone.ask("deliverLate") == 3
    assert {entry["id"] for entry in stored(shop, phone)} == {entry["id"] for entry in entries}
    phone.kick()
    assert phone.states() == []
    assert len(stored(shop, phone)) == 3


def test_f4_an_echo_after_the_receipt_changes_nothing(
    phones: PhoneMaker, shop: ShopProcess
) -> None:
    phone = phones()
    phone.network("echo")
    entries = [phone.save() for _ in range(3)]
    phone.network("good")
    phone.ask("deliverLate")
    phone.kick()
    arrives_once(phone, shop, entries)


@pytest.mark.parametrize("cut", ["cut_line", "cut_request", "cut_answer"])
@pytest.mark.parametrize("count", [1, 30], ids=["plain", "gzipped"])
def test_f5_the_line_breaks_in_the_middle(
    phones: PhoneMaker, shop: ShopProcess, cut: str, count: int
) -> None:
    phone = phones()
    entries = [phone.save() for _ in range(count)]
    phone.network("good", plan=[cut])
    phone.kick()
    assert "refused" not in phone.states()
    for _ in range(8):
        phone.kick()
    arrives_once(phone, shop, entries)


def test_f5_a_body_damaged_on_its_way_is_not_held_against_the_entry(
    phones: PhoneMaker, shop: ShopProcess
) -> None:
    phone = phones()
    entry = phone.save()
    for _ in range(10):
        phone.kick()
    for _ in range(3):
        phone.network("good", plan=["cut_request"])
        phone.kick()
        assert phone.states() == ["waiting"]
    phone.kick()
    arrives_once(phone, shop, [entry])


@pytest.mark.promise(3)
@pytest.mark.parametrize("portal", ["portal", "portal_login"])
def test_f6_a_portal_answers_in_place_of_the_server(
    phones: PhoneMaker, shop: ShopProcess, portal: str
) -> None:
    phone = phones()
    entry = phone.save()
    phone.network(portal)
    phone.kick()
    assert phone.states() == ["waiting"]
    assert phone.status()["last_sync_at"] is None
    phone.network("good")
    phone.kick()
    arrives_once(phone, shop, [entry])


@pytest.mark.parametrize("answer", ["proxy_down", "proxy_small", "asks_quiet"])
def test_f27_a_proxy_is_down_small_or_busy(
    phones: PhoneMaker, shop: ShopProcess, answer: str
) -> None:
    phone = phones()
    entries = [phone.save() for _ in range(4)]
    phone.network(answer)
    phone.kick()
    assert phone.states() == ["waiting"] * 4
    phone.network("good")
    phone.passes(600)
    assert phone.states() == []
    # whichever came alone when a proxy refused may have been why: it goes last
    assert sorted(ids(stored(shop, phone))) == sorted(ids(entries))


def test_f36_nothing_depends_on_the_browsers_word_about_being_online(
    phones: PhoneMaker, shop: ShopProcess
) -> None:
    """No event says that the network is back; the timer finds out."""
    phone = phones()
    entry = phone.save()
    phone.network("good")
    assert phone.states() == ["waiting"]
    phone.passes(5)
    arrives_once(phone, shop, [entry])


@pytest.mark.parametrize("hang", ["hang", "hang_after"])
def test_f37_an_upload_hangs(phones: PhoneMaker, shop: ShopProcess, hang: str) -> None:
    phone = phones()
    entries = [phone.save() for _ in range(3)]
    phone.network(hang)
    phone.kick()
    assert phone.states() == ["waiting"] * 3
    phone.network("good")
    phone.passes(60)
    arrives_once(phone, shop, entries)


def test_f38_the_same_wake_up_many_times_over(phones: PhoneMaker, shop: ShopProcess) -> None:
    phone = phones()
    phone.network("good")
    entries = [phone.save() for _ in range(3)]
    for reason in ("online", "visible", "timer", "online", "hand"):
        phone.ask("kick", name="one", reason=reason)
    arrives_once(phone, shop, entries)
