"""Every page, phone and office: axe in light and dark, keyboard, 320 px, text at 200 %."""

from collections.abc import Iterator
from urllib.parse import urlsplit

import pytest
from django.urls import resolve
from django.urls.exceptions import Resolver404

from tests.browser import judged
from tests.browser.chromium import DESK, PHONE
from tests.browser.conftest import ProfileMaker
from tests.browser.demo_shop import Opened, open_demo
from tests.browser.desk import Manager
from tests.browser.hand import Operator
from tests.conftest import ServerMaker
from tests.shop_process import ShopProcess

PER_ROUTE = 2
Pages = Iterator[tuple[str, judged.Judge]]


@pytest.fixture
def demo(open_server: ServerMaker, demo_data: object) -> ShopProcess:
    return open_server(demo_data, host="shop.test", secure=True)


@pytest.fixture
def opened(demo: ShopProcess) -> Opened:
    return open_demo(demo)


@pytest.fixture
def walker(demo: ShopProcess, opened: Opened, open_profile: ProfileMaker) -> Operator:
    """A phone in the demo shop with a context, so that every view has something to show."""
    profile = open_profile(demo, viewport=PHONE, has_touch=True, is_mobile=True)
    return Operator(profile, demo).let_in(opened.cookie)


def phone_pages(walker: Operator, opened: Opened) -> Pages:
    """Visit each page in turn; yields its address and how it is judged while it is open."""
    for address in opened.phone_addresses():
        walker.page.goto("about:blank")
        walker.open(address)
        walker.page.locator("main").wait_for()
        walker.page.wait_for_timeout(judged.SETTLE_MS)
        yield address, judged.findings


def test_no_page_of_the_phone_has_a_barrier(walker: Operator, opened: Opened) -> None:
    assert judged.told(phone_pages(walker, opened), walker.page) == ""


@pytest.fixture
def manager(demo: ShopProcess, opened: Opened, open_profile: ProfileMaker) -> Manager:
    return Manager(open_profile(demo, viewport=DESK), demo).sign_in()


def office_pages(manager: Manager) -> Pages:
    """Follow every link of the office, two addresses of each route; the second for its words."""
    seen: dict[str, int] = {}
    waiting = ["/office/"]
    known = set(waiting)
    while waiting:
        path = waiting.pop(0)
        name = route(path)
        if not name or seen.get(name, 0) >= PER_ROUTE:
            continue
        seen[name] = seen.get(name, 0) + 1
        manager.open(path)
        links = manager.page.eval_on_selector_all("a[href]", "all => all.map((one) => one.href)")
        yield path, judged.findings if seen[name] == 1 else judged.sizes
        inside = [urlsplit(link) for link in links if link.startswith(manager.server.origin)]
        found = [one.path + (f"?{one.query}" if one.query else "") for one in inside]
        waiting += [one for one in dict.fromkeys(found) if one not in known]
        known |= set(found)
    # If links stopped leading there, a test of nothing would pass.
    assert len(seen) > 15


def route(path: str) -> str:
    """Name of the route, empty for what is no page of the office."""
    bare = path.split("?")[0]
    if not bare.startswith("/office/") or bare.endswith((".pdf", ".png", ".csv", ".zip", ".json")):
        return ""
    try:
        return resolve(bare).view_name + (" ?" if "?" in path else "")
    except Resolver404:
        return ""


def test_no_page_of_the_office_has_a_barrier(manager: Manager) -> None:
    assert judged.told(office_pages(manager), manager.page) == ""


def test_a_stranger_meets_no_barrier(demo: ShopProcess, open_profile: ProfileMaker) -> None:
    page = open_profile(demo, viewport=PHONE).page()

    def pages() -> Pages:
        for path in ("/office/sign-in/", "/f/F0417-N", "/f/nothing"):
            page.goto(f"{demo.origin}{path}")
            yield path, judged.findings

    assert judged.told(pages(), page) == ""
