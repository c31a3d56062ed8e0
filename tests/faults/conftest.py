"""Fixtures of the fault tests: a furnished shop, its real server, and phones on it."""

import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from tests.faults.phones import Host, Phone
from tests.faults.shop import Json, furnish
from tests.shop_process import ShopProcess


@pytest.fixture(scope="session")
def furnished(bare_data: Path, tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Json]:
    """A data folder with a shop in it, and what is in that shop."""
    data = tmp_path_factory.mktemp("furnished") / "data"
    shutil.copytree(bare_data, data)
    return data, furnish(ShopProcess(data))


@pytest.fixture
def host() -> Iterator[Host]:
    one = Host()
    yield one
    one.close()


@pytest.fixture
def shop(open_server: Callable[..., ShopProcess], furnished: tuple[Path, Json]) -> ShopProcess:
    return open_server(furnished[0])


@pytest.fixture
def book(furnished: tuple[Path, Json]) -> Json:
    """Ids of the mesh and the frames, cookies of the phones."""
    return furnished[1]


PhoneMaker = Callable[..., Phone]


@pytest.fixture
def phones(host: Host, shop: ShopProcess, book: Json) -> PhoneMaker:
    """`phones()` gives another enrolled phone each time."""
    cookies = iter(book["cookies"])

    def make(**how: object) -> Phone:
        cookie = f"tautbook_device={next(cookies)}"
        name = f"phone {len(book['cookies'])} {cookie[-6:]}"
        return Phone(host, name, shop.origin, cookie, **how)

    return make
