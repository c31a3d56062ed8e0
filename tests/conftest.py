"""What every kind of test may use: built pages, a furnished data folder, the real server."""

import os
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from django.test import TransactionTestCase

from shopfloor.launch import pages
from tests.shop_process import ShopProcess

# Playwright's loop runs in the thread of the test, which also reads the database now and then.
os.environ.setdefault("DJANGO_ALLOW_ASYNC_UNSAFE", "true")


DATABASE = {"db", "transactional_db"}
OWN_DATABASE = {"own_database", "postgresql", "sqlite"}


def pytest_addoption(parser: pytest.Parser) -> None:
    only = "only tests that stand on the database of DATABASE_URL; others say the same on any"
    parser.addoption("--only-database", action="store_true", help=only)


# Folders whose tests take long come first, so that workers end together.
LONG = ("browser", "faults", "trust", "launch", "forecast")


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    items.sort(key=lambda item: item.path.parent.name not in LONG)
    if config.getoption("--only-database"):
        others = [item for item in items if not on_the_database(item)]
        config.hook.pytest_deselected(items=others)
        items[:] = [item for item in items if on_the_database(item)]


def on_the_database(item: pytest.Item) -> bool:
    used = set(getattr(item, "fixturenames", ()))
    if used & OWN_DATABASE:
        return False
    of_a_case = issubclass(getattr(item, "cls", None) or object, TransactionTestCase)
    return bool(of_a_case or used & DATABASE or item.get_closest_marker("django_db"))


@pytest.fixture(scope="session")
def built_pages() -> Path:
    """The folder of bundled files, built from the present sources."""
    pages.build(tools=True)
    return pages.FOLDER / "dist"


@pytest.fixture(scope="session")
def bare_data(built_pages: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A data folder with migrated database and collected files, and no shop in it."""
    data = tmp_path_factory.mktemp("bare")
    shop = ShopProcess(data)
    shop.manage("migrate", "--verbosity", "0", "--no-input")
    shop.manage("collectstatic", "--verbosity", "0", "--no-input")
    return data


@pytest.fixture(scope="session")
def demo_data(bare_data: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The same with the demo shop loaded, and what the worker would have derived from it."""
    data = tmp_path_factory.mktemp("demo") / "data"
    shutil.copytree(bare_data, data)
    shop = ShopProcess(data)
    shop.manage("load_demo", "--verbosity", "0")
    shop.manage("derive")
    return data


ServerMaker = Callable[..., ShopProcess]


@pytest.fixture
def open_server(tmp_path: Path) -> Iterator[ServerMaker]:
    """Start a real server on a copy of a data folder: `open_server(data, secure=…, host=…)`."""
    opened: list[ShopProcess] = []

    def open_(data: Path, **how: object) -> ShopProcess:
        copy = tmp_path / f"server-{len(opened)}"
        shutil.copytree(data, copy)
        opened.append(ShopProcess(copy, **how))
        return opened[-1].start()

    yield open_
    for one in opened:
        one.kill()


@pytest.fixture
def server(open_server: ServerMaker, bare_data: Path) -> ShopProcess:
    """The real server over plain http on the loopback address, with an empty shop."""
    return open_server(bare_data)


@pytest.fixture
def demo_server(open_server: ServerMaker, demo_data: Path) -> ShopProcess:
    """The real server over https, as shop.test by the shop's own authority, with the demo shop."""
    return open_server(demo_data, host="shop.test", secure=True)
