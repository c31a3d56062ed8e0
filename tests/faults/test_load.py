"""A small part of what `tests.faults.load` and `tests.faults.kills` do at length."""

from pathlib import Path

import pytest

from tests.faults.kills import kill_again_and_again
from tests.faults.load import Load
from tests.faults.standing import check_book, shop_on
from tests.log.cluster import is_here

KILLS = {"sqlite": 3, "postgresql": 1}
PHONES = 120


@pytest.mark.promise(1, 2, 3, 5)
@pytest.mark.parametrize("database", KILLS)
def test_f28_killed_again_and_again_under_load(database: str, bare_data: Path) -> None:
    if database == "postgresql" and not is_here():
        pytest.skip("no PostgreSQL here: apt-get install postgresql postgresql-common")
    with shop_on(database, bare_data) as shop:
        found = kill_again_and_again(shop, KILLS[database])
    assert found["entries"] == 200 * KILLS[database]
    assert found["unanswered"] > 0, "no kill ever met a request"


@pytest.mark.promise(2, 3)
def test_f27_a_crowd_is_put_off_in_part_and_all_of_it_is_stored(bare_data: Path) -> None:
    """More phones than the server lets wait, all in the same moment."""
    with shop_on("sqlite", bare_data) as shop:
        load = Load(shop, PHONES, seconds=1)
        calm = load.step(20)
        assert calm.statuses["200"] > 0
        assert len(calm.pages) > 0
        answers = load.crowd(each=1)
        assert set(answers) <= {"200", "429", "503"}
        assert answers["503"] > 0, "everybody was let in at once"
        check_book(shop, load.sent)
