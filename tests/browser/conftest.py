"""What the browser tests share: phones and desks that trust the shop's own authority."""

import shutil
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Playwright, sync_playwright

from tests.browser import plan_shop
from tests.browser.chromium import DESK, PHONE, Profile, trust
from tests.browser.hand import Operator
from tests.browser.small_shop import furnish
from tests.conftest import ServerMaker
from tests.shop_process import ShopProcess


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    here = Path(__file__).parent
    for item in items:
        if here in item.path.parents:
            item.add_marker(pytest.mark.browser)


@pytest.fixture(scope="session")
def playwright() -> Iterator[Playwright]:
    with sync_playwright() as one:
        yield one


Ids = dict[str, Any]


@dataclass(frozen=True)
class Furnished:
    data: Path
    ids: Ids


@pytest.fixture(scope="session")
def furnished(bare_data: Path, tmp_path_factory: pytest.TempPathFactory) -> Furnished:
    """A data folder with a small shop in it, and the ids of what it holds."""
    data = tmp_path_factory.mktemp("furnished") / "data"
    shutil.copytree(bare_data, data)
    return Furnished(data, furnish(ShopProcess(data, host="shop.test", secure=True)))


@pytest.fixture
def shop(open_server: ServerMaker, furnished: Furnished) -> ShopProcess:
    """The real server over https, as shop.test by the shop's own authority, with a small shop."""
    return open_server(furnished.data, host="shop.test", secure=True)


@pytest.fixture
def ids(furnished: Furnished) -> Ids:
    return furnished.ids


ProfileMaker = Callable[..., Profile]


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(item: pytest.Item) -> Iterator[None]:
    """A test that failed shows what its pages showed."""
    report = yield
    if report.when == "call" and report.failed and "open_profile" in item.fixturenames:
        for number, profile in enumerate(item.funcargs["open_profile"].made):
            report.sections += profile.last_look(item.funcargs["tmp_path"] / f"page-{number}.png")
    return report


@pytest.fixture
def open_profile(playwright: Playwright, tmp_path: Path) -> Iterator[ProfileMaker]:
    """A fresh profile that trusts the authority of `server`; whatever it threw fails the test."""
    made: list[Profile] = []

    def make(server: ShopProcess, **how: object) -> Profile:
        profile = Profile(playwright, tmp_path / f"profile-{len(made)}", **how)
        trust(profile.home, server.data / "authority/authority.pem")
        made.append(profile)
        return profile

    make.made = made
    yield make
    for one in made:
        one.close()
    thrown = [error for one in made for error in one.errors]
    assert not thrown, "the pages threw errors that nobody caught"


@pytest.fixture
def phone(open_profile: ProfileMaker, shop: ShopProcess) -> Profile:
    return open_profile(shop, viewport=PHONE, has_touch=True, is_mobile=True)


@pytest.fixture
def operator(phone: Profile, shop: ShopProcess, ids: Ids) -> Operator:
    """A phone that is let in and holds the shop."""
    return Operator(phone, shop).let_in(ids["cookies"][0])


@pytest.fixture
def desk(open_profile: ProfileMaker, shop: ShopProcess) -> Profile:
    return open_profile(shop, viewport=DESK)


@pytest.fixture(scope="session")
def plan_furnished(bare_data: Path, tmp_path_factory: pytest.TempPathFactory) -> Furnished:
    """A data folder with a shop whose frames are screens of the plant."""
    data = tmp_path_factory.mktemp("plans") / "data"
    shutil.copytree(bare_data, data)
    return Furnished(data, plan_shop.furnish(ShopProcess(data, host="shop.test", secure=True)))


@pytest.fixture
def plan_ids(plan_furnished: Furnished) -> Ids:
    return plan_furnished.ids


@pytest.fixture
def plan_operator(
    open_server: ServerMaker, open_profile: ProfileMaker, plan_furnished: Furnished
) -> Operator:
    """A phone in that shop, let in and ready to work without a network."""
    server = open_server(plan_furnished.data, host="shop.test", secure=True)
    profile = open_profile(server, viewport=PHONE, has_touch=True, is_mobile=True)
    return Operator(profile, server).let_in(plan_furnished.ids["cookies"][0])
