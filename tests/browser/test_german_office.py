"""The office in German and inches, on a narrow screen and at a desk: nothing lost or English."""

import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import Page

from tests import english
from tests.browser import judged
from tests.browser.chromium import DESK
from tests.browser.conftest import ProfileMaker
from tests.browser.demo_shop import open_demo
from tests.browser.desk import Manager
from tests.browser.test_german import INCHES, SHOWN
from tests.conftest import ServerMaker
from tests.shop_process import ShopProcess

ROOMS = (
    *("", "frames/", "frames/new/", "jobs/", "jobs/new/", "plans/", "screen-room/", "figures/"),
    *(
        "labels/",
        "log/",
        "log/all/",
        "phones/",
        "phones/add/",
        "phones/accounts/",
        "phones/accounts/add/",
        "shop/",
        "shop/meshes/",
        "shop/meshes/new/",
    ),
    *("shop/presses/", "shop/lists/", "shop/stretching/", "shop/meters/study/", "dates/"),
    "privacy/",
)
# From a list to the first thing of it, and from there to what it leads to.
LED_TO = (
    ("frames/", r"/office/frames/[0-9a-f-]{36}/$", ("", "fitting/", "write/", "what-if/", "plan/")),
    ("jobs/", r"/office/jobs/[0-9a-f-]{36}/$", ("", "set/", "sheet/", "ok-sheet/", "count/")),
    ("shop/presses/", r"/office/shop/presses/[0-9a-f-]{36}/page/$", ("",)),
)


# Words of a table's heads that stand in two lines; a hyphen is a place to break.
BROKEN_HEADS = r"""() => [...document.querySelectorAll("main th")].flatMap((head) => {
  const walker = document.createTreeWalker(head, NodeFilter.SHOW_TEXT);
  const broken = [];
  while (walker.nextNode()) {
    for (const word of walker.currentNode.data.matchAll(/[\p{L}\d]+/gu)) {
      const range = document.createRange();
      range.setStart(walker.currentNode, word.index);
      range.setEnd(walker.currentNode, word.index + word[0].length);
      const lines = new Set([...range.getClientRects()].map((rect) => Math.round(rect.top)));
      if (lines.size > 1) broken.push(word[0]);
    }
  }
  return broken;
})"""


@pytest.fixture
def demo(open_server: ServerMaker, demo_data: object) -> ShopProcess:
    server = open_server(demo_data, host="shop.test", secure=True)
    server.python(INCHES)
    return server


@pytest.fixture
def manager(demo: ShopProcess, open_profile: ProfileMaker) -> Manager:
    """Signed in, with German chosen at the foot of a page."""
    open_demo(demo)
    manager = Manager(open_profile(demo, viewport=DESK), demo).sign_in()
    manager.page.get_by_role("button", name="Deutsch").click()
    manager.page.locator("html[lang=de]").wait_for(state="attached")
    return manager


def walked(manager: Manager) -> Iterator[str]:
    """Visit each page in turn; yields its address while it is open."""
    for room in ROOMS:
        yield from opened(manager, f"/office/{room}")
    for listing, shape, pages in LED_TO:
        manager.open(f"/office/{listing}")
        links = manager.page.eval_on_selector_all(
            "main a[href]", "all => all.map((a) => a.pathname)"
        )
        first = next(link for link in links if re.search(shape, link))
        for page in pages:
            yield from opened(manager, first + page)


def opened(manager: Manager, address: str) -> Iterator[str]:
    manager.open(address)
    manager.page.wait_for_timeout(judged.SETTLE_MS)
    yield address


def english_on(page: Page) -> list[str]:
    # the account of the demo is called so
    return [text for text in english.among(page.evaluate(SHOWN)) if text != "manager"]


def test_nothing_is_english_or_lost_on_a_narrow_screen(manager: Manager) -> None:
    manager.page.set_viewport_size(judged.NARROW)
    found = []
    for address in walked(manager):
        found += [f"{address}: English: {text}" for text in english_on(manager.page)]
        found += [f"{address}: {line}" for line in judged.lost(manager.page)]
    assert not found, "\n".join(found)


def test_a_desk_loses_nothing(manager: Manager) -> None:
    found = []
    for address in walked(manager):
        heads = manager.page.evaluate(BROKEN_HEADS)
        found += [f"{address}: broken within the word: {word}" for word in heads]
        found += [f"{address}: {line}" for line in judged.lost(manager.page)]
    assert not found, "\n".join(found)
