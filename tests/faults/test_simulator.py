"""Everything at once, by chance, with the promises checked when it is quiet again.

    python -m pytest tests/faults/test_simulator.py --seeds 200 --phones 5 --entries 60
    python -m pytest tests/faults/test_simulator.py --first 4711 --seeds 1 --phones 5 --entries 60

The seed is in the name of each test; one that fails prints what was done, in order. A seed needs
its own numbers of phones and entries to be the same again, and begins with an empty log. Requests
of several phones to one server are not in the seed's hand, so a failure may need a few runs.
"""

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.faults import promises
from tests.faults.phones import Host
from tests.faults.quick_shop import QuickShop
from tests.faults.shop import Json
from tests.faults.simulator import Size, World
from tests.shop_process import DATABASE


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    first, count = (metafunc.config.getoption(name) for name in ("--first", "--seeds"))
    metafunc.parametrize("seed", range(first, first + count))


@pytest.fixture(scope="module")
def quick_shop(
    furnished: tuple[Path, Json], tmp_path_factory: pytest.TempPathFactory
) -> Iterator[QuickShop]:
    data = tmp_path_factory.mktemp("quick") / "data"
    shutil.copytree(furnished[0], data)
    shop = QuickShop(data)
    yield shop
    shop.close()


@pytest.fixture
def fresh_shop(quick_shop: QuickShop, furnished: tuple[Path, Json]) -> QuickShop:
    """Running, and with nothing in its log."""
    quick_shop.kill()
    quick_shop.put_database_back(furnished[0] / DATABASE)
    (quick_shop.data / "position.json").unlink(missing_ok=True)
    return quick_shop.start()


@pytest.fixture
def world(
    seed: int,
    fresh_shop: QuickShop,
    book: Json,
    host: Host,
    tmp_path: Path,
    request: pytest.FixtureRequest,
) -> Iterator[World]:
    phones, entries = (request.config.getoption(name) for name in ("--phones", "--entries"))
    one = World(seed, fresh_shop, book, host, tmp_path, Size(phones, entries))
    yield one
    if one.done:
        print(f"seed {seed}:", *one.done, sep="\n  ")


@pytest.mark.promise(6)
def test_promises_are_kept(world: World) -> None:
    world.run()
    world.come_to_rest()
    assert world.saved, "nothing was saved: the world stood still"
    promises.all_kept(world)
