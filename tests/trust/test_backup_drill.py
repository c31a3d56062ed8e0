"""The drill: phones send while a backup is made, the machine dies, another takes its place."""

import shutil
from pathlib import Path

import pytest

from tests.faults.conftest import PhoneMaker
from tests.faults.shop import Json, ids, replayed, state, stored
from tests.shop_process import ShopProcess

ENTRIES = 300


@pytest.fixture
def words(tmp_path: Path) -> Path:
    (tmp_path / "words").write_text("the kettle sings at four")
    return tmp_path / "words"


@pytest.mark.promise(7)
def test_a_dead_machine_comes_back_from_its_backup_and_its_phones(
    phones: PhoneMaker, shop: ShopProcess, book: Json, tmp_path: Path, words: Path
) -> None:
    one, two = phones(), phones()
    before = [one.save("coated", frame=book["frames"][3], payload={"note": ""}), one.save()]
    one.network("good")
    one.kick()
    meanwhile = two.save_many(ENTRIES, frame=book["frames"][4])
    two.network("good")
    sending = two.host.begin(two.name, "kick")
    said = shop.manage("backup", str(tmp_path / "away"), "--passphrase-file", str(words))
    two.host.collect(sending)
    assert "opened and counted" in said
    (file,) = (tmp_path / "away").iterdir()
    after = [two.save(frame=book["frames"][3]), one.save(frame=book["frames"][4])]
    for phone in (one, two):
        phone.kick()
        assert phone.states() == []
    everything = sorted(ids([*before, *meanwhile, *after]))
    assert sorted(ids(stored(shop, one, two))) == everything

    shop.kill()
    shop.data.rename(tmp_path / "dead")
    shop.data.mkdir()
    shop.manage("restore", str(file), "--passphrase-file", str(words))
    back = ids(stored(shop, one, two))
    assert set(ids(before)) <= set(back)
    assert not set(ids(after)) & set(back)
    shop.start()
    for phone in (one, two, one, two):
        phone.kick()
        assert phone.states() == []
    assert sorted(ids(stored(shop, one, two))) == everything
    assert state(shop) == replayed(shop)
    assert "All is well" in shop.manage("check_log")
    shutil.rmtree(tmp_path / "dead")
