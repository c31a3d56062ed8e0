"""Fixtures of the fault tests: a furnished shop, its real server, and phones on it.

Tests of one file share one server, each with phones of its own: what a test asserts is about
entries of its own phones.
"""

import shutil
from collections.abc import Callable, Iterator
from itertools import count, cycle
from pathlib import Path

import pytest

pytest.register_assert_rewrite("tests.faults.promises")

from tests.faults.phones import Host, Phone  # noqa: E402
from tests.faults.shop import Json, furnish  # noqa: E402
from tests.log.conftest import postgresql  # noqa: E402, F401
from tests.shop_process import ShopProcess  # noqa: E402


def pytest_addoption(parser: pytest.Parser) -> None:
    group = parser.getgroup("simulator")
    group.addoption("--seeds", type=int, default=20, help="how many seeds the simulator runs")
    group.addoption("--first", type=int, default=1, help="the first of these seeds")
    group.addoption("--phones", type=int, default=5, help="phones of each seed")
    group.addoption("--every", type=int, default=7, help="which storage steps are made to fail")
    group.addoption("--entries", type=int, default=6, help="entries that each phone saves")
    long = "entries of a phone that was away for weeks; 10000 is what was promised"
    group.addoption("--outbox", type=int, default=1000, help=long)


@pytest.fixture(scope="session")
def furnished(bare_data: Path, tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Json]:
    """A data folder with a shop in it, and what is in that shop."""
    data = tmp_path_factory.mktemp("furnished") / "data"
    shutil.copytree(bare_data, data)
    return data, furnish(ShopProcess(data))


@pytest.fixture(scope="session")
def book(furnished: tuple[Path, Json]) -> Json:
    """Ids of the mesh and the frames, cookies of the phones."""
    return furnished[1]


@pytest.fixture(scope="module")
def one_shop(
    furnished: tuple[Path, Json], tmp_path_factory: pytest.TempPathFactory
) -> Iterator[ShopProcess]:
    data = tmp_path_factory.mktemp("shop") / "data"
    shutil.copytree(furnished[0], data)
    shop = ShopProcess(data)
    yield shop
    shop.kill()


@pytest.fixture
def shop(one_shop: ShopProcess) -> ShopProcess:
    """The server of this file's tests, running even if the test before has killed it."""
    return one_shop if one_shop.process else one_shop.start()


@pytest.fixture
def host() -> Iterator[Host]:
    one = Host()
    yield one
    one.close()


PhoneMaker = Callable[..., Phone]
# No two phones of a run draw the same ids.
SEEDS = count(1)


@pytest.fixture
def phones(host: Host, shop: ShopProcess, book: Json) -> PhoneMaker:
    """`phones()` gives another enrolled phone each time."""
    cookies = cycle(enumerate(book["cookies"], 1))

    def make(**how: object) -> Phone:
        seed, (number, cookie) = next(SEEDS), next(cookies)
        secret = f"tautbook_device={cookie}"
        return Phone(host, f"{seed} as {number}", shop.origin, secret, seed=seed, **how)

    return make
