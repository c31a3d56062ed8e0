"""The database goes back and the epoch stays, as with a whole folder or machine put back.

A late packet then brings back the very entry that the phone names as its newest: the phone has to
notice by what it knows of the feed.
"""

import shutil
import sqlite3
from pathlib import Path

import pytest

from shopfloor.position import FILE
from tests.faults.conftest import PhoneMaker
from tests.faults.phones import Phone
from tests.faults.shop import Json, ids, stored
from tests.shop_process import DATABASE, ShopProcess


def two_after_the_copy(
    phones: PhoneMaker, shop: ShopProcess, book: Json, copy: Path, *, placed: bool
) -> tuple[Phone, Phone, list[Json]]:
    """A phone whose last two entries the copy lacks, one of them on its way once more."""
    phone, other = phones(), phones()
    if placed:
        for one in (phone, other):
            one.network("good")
            one.kick()
    other.network("down")
    copy.mkdir()
    shop.copy_database(copy / "database")
    shutil.copy(shop.data / FILE, copy)
    phone.network("down", plan=["good"])
    first = phone.save(frame=book["frames"][0])
    phone.network("down", plan=["late"])
    second = phone.save(frame=book["frames"][0])
    phone.network("down", plan=["good"])
    phone.kick()
    assert phone.states() == []
    return phone, other, [first, second]


def syncs(phone: Phone) -> None:
    phone.network("good")
    for _ in range(3):
        phone.kick()
        phone.passes(600)


@pytest.mark.promise(7)
@pytest.mark.parametrize("placed", [False, True])
def test_f4_f19_a_whole_folder_is_put_back_and_a_packet_was_late(
    phones: PhoneMaker, shop: ShopProcess, book: Json, tmp_path: Path, placed: bool
) -> None:
    copy = tmp_path / "copy"
    phone, _, lost = two_after_the_copy(phones, shop, book, copy, placed=placed)
    shop.stop()
    shop.put_database_back(copy / "database")
    shutil.copy(copy / FILE, shop.data)
    shop.start()
    assert phone.ask("deliverLate") == 1
    syncs(phone)
    assert phone.states() == []
    assert sorted(ids(stored(shop, phone))) == sorted(ids(lost))


@pytest.mark.promise(7)
@pytest.mark.parametrize("overtaken", [False, True])
def test_f4_f19_the_database_goes_back_under_a_server_that_runs(
    phones: PhoneMaker, shop: ShopProcess, book: Json, tmp_path: Path, overtaken: bool
) -> None:
    """As when a copy that lagged is made the main one, and others write on before anybody looks."""
    copy = tmp_path / "copy"
    phone, other, lost = two_after_the_copy(phones, shop, book, copy, placed=True)
    with (
        sqlite3.connect(copy / "database") as old,
        sqlite3.connect(shop.data / DATABASE) as live,
    ):
        old.backup(live)
    old.close()
    live.close()
    assert phone.ask("deliverLate") == 1
    if overtaken:
        other.network("good")
        for _ in range(5):
            other.save(frame=book["frames"][1])
    syncs(phone)
    shop.stop()
    shop.start()
    syncs(phone)
    assert phone.states() == []
    assert sorted(ids(stored(shop, phone))) == sorted(ids(lost))
