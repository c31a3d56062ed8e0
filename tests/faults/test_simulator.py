"""Everything at once, by chance, with the promises checked when it is quiet again.

    python -m pytest tests/faults/test_simulator.py --seeds 500
    python -m pytest tests/faults/test_simulator.py --first 4711 --seeds 1

The seed is in the name of each test; one that fails prints what was done, in order. Requests of
several phones to one server are not in the seed's hand, so a failure may need a few runs to show.
"""

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.faults import promises
from tests.faults.phones import Host
from tests.faults.shop import Json
from tests.faults.simulator import World
from tests.shop_process import ShopProcess

STEPS = 60


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    first, count = (metafunc.config.getoption(name) for name in ("--first", "--seeds"))
    metafunc.parametrize("seed", range(first, first + count))


@pytest.fixture
def world(seed: int, shop: ShopProcess, book: Json, host: Host, tmp_path: Path) -> Iterator[World]:
    one = World(seed, shop, book, host, tmp_path)
    yield one
    if one.done:
        print(f"seed {seed}:", *one.done, sep="\n  ")


def test_promises_are_kept(world: World) -> None:
    world.run(STEPS)
    world.come_to_rest()
    assert world.saved, "nothing was saved: the world stood still"
    promises.all_kept(world)
