"""What the network does to a batch: once, twice, late, cut, unanswered. One effect per entry id."""

import pytest

from tests.faults.conftest import PhoneMaker
from tests.faults.shop import Json, stored
from tests.shop_process import ShopProcess


def test_f1_the_same_batch_twice_and_at_once(phones: PhoneMaker, shop: ShopProcess) -> None:
    phone = phones()
    entries = [phone.save() for _ in range(5)]
    phone.network("twice")
    phone.kick()
    assert phone.unsent() == 0
    assert stored_ids(shop) == ids(entries)


def test_f2_the_answer_is_lost_after_the_commit(phones: PhoneMaker, shop: ShopProcess) -> None:
    phone = phones()
    entry = phone.save()
    phone.network("good", plan=["lost_answer"])
    phone.kick()
    assert stored_ids(shop) == [entry["id"]]
    assert phone.states() == ["waiting"]
    phone.kick()
    assert phone.states() == []
    assert stored_ids(shop) == [entry["id"]]


def stored_ids(shop: ShopProcess) -> list[str]:
    return [entry["id"] for entry in stored(shop)]


def ids(entries: list[Json]) -> list[str]:
    return [entry["id"] for entry in entries]
