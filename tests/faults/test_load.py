"""A small part of what `tests.faults.load` and `tests.faults.kills` do at length."""

from collections.abc import Iterator

import pytest

from tests.faults.kills import kill_again_and_again
from tests.faults.load import Load
from tests.faults.standing import ShopOn, check_book, shop_on
from tests.log.cluster import is_here

KILLS = 3
PHONES = 120


@pytest.fixture(params=["sqlite", "postgresql"])
def empty(request: pytest.FixtureRequest) -> Iterator[ShopOn]:
    """A server on a database of its own, which keeps what it was told as in real life."""
    if request.param == "postgresql" and not is_here():
        pytest.skip("no PostgreSQL here: apt-get install postgresql postgresql-common")
    with shop_on(request.param) as shop:
        yield shop


@pytest.mark.promise(1, 2, 3, 5)
def test_f28_killed_again_and_again_under_load(empty: ShopOn) -> None:
    found = kill_again_and_again(empty, KILLS)
    assert found["entries"] >= 200 * KILLS
    assert found["unanswered"] > 0, "no kill ever met a request"


@pytest.mark.promise(2, 3)
def test_f27_a_crowd_is_put_off_in_part_and_all_of_it_is_stored() -> None:
    """More phones than the server lets wait, all in the same moment."""
    with shop_on("sqlite") as shop:
        load = Load(shop, PHONES, seconds=1)
        calm = load.step(20)
        assert calm.statuses["200"] > 0
        assert len(calm.pages) > 0
        answers = load.crowd(each=2)
        assert set(answers) <= {"200", "429", "503"}
        assert answers["503"] > 0, "everybody was let in at once"
        check_book(shop, load.sent)
