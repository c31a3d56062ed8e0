"""What the browser tests share: phones and desks that trust the shop's own authority."""

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Playwright, sync_playwright

from tests.browser.chromium import DESK, PHONE, Profile, trust
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


ProfileMaker = Callable[..., Profile]


@pytest.fixture
def open_profile(playwright: Playwright, tmp_path: Path) -> Iterator[ProfileMaker]:
    """A fresh profile that trusts the authority of `server`; whatever it threw fails the test."""
    made: list[Profile] = []

    def make(server: ShopProcess, **how: object) -> Profile:
        profile = Profile(playwright, tmp_path / f"profile-{len(made)}", **how)
        trust(profile.home, server.data / "authority/authority.pem")
        made.append(profile)
        return profile

    yield make
    for one in made:
        one.close()
    thrown = [error for one in made for error in one.errors]
    assert not thrown, "the pages threw errors that nobody caught"


@pytest.fixture
def phone(open_profile: ProfileMaker, demo_server: ShopProcess) -> Profile:
    return open_profile(demo_server, viewport=PHONE, has_touch=True, is_mobile=True)


@pytest.fixture
def desk(open_profile: ProfileMaker, demo_server: ShopProcess) -> Profile:
    return open_profile(demo_server, viewport=DESK)
