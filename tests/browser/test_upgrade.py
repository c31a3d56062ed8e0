"""Earlier versions of the app, as they were built, with a full outbox: this one takes over."""

from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests.browser.chromium import SLOW_MS, Profile
from tests.browser.conftest import Furnished
from tests.browser.full_outbox import fill
from tests.browser.hand import Operator
from tests.browser.small_shop import entries_of
from tests.browser.versions import EARLIER, Shelf, publish_earlier
from tests.conftest import ServerMaker
from tests.shop_process import ShopProcess

PUSH = "**/api/v1/sync/push"
COUNT = 200

# What is sent arrives, and the page never hears of it, as long as it is told so.
KEEP_ANSWERS = """(() => {
  const real = window.fetch;
  window.fetch = async (address, how) => {
    const keep = sessionStorage.getItem("keep") && String(address).includes("push");
    const answer = await real(address, how);
    return keep ? new Promise(() => {}) : answer;
  };
})()"""


@pytest.fixture
def shelved(open_server: ServerMaker, furnished: Furnished) -> tuple[ShopProcess, Shelf]:
    """A server that has been stopped, and its app of now beside it."""
    server = open_server(furnished.data, host="shop.test", secure=True)
    server.stop()
    return server, Shelf(server)


@pytest.fixture
def old_phone(
    shelved: tuple[ShopProcess, Shelf],
    open_profile: Callable[..., Profile],
    ids: dict[str, Any],
) -> Callable[[str], Operator]:
    """`old_phone(name)` is let in under that earlier app, and fills its outbox offline."""
    server, _ = shelved

    def make(name: str) -> Operator:
        publish_earlier(server, name)
        server.start()
        phone = Operator(open_profile(server, has_touch=True, is_mobile=True), server)
        phone.let_in(ids["cookies"][0])
        phone.page.route(PUSH, lambda route: route.abort())
        phone.settle_context()
        phone.type_code(ids["code"])
        for bolt in ("A1", "B2", "C3"):
            phone.tweak(bolt, seen="Skip")
        fill(phone.page, COUNT)
        return phone

    return make


def upgrade(shelved: tuple[ShopProcess, Shelf]) -> None:
    server, shelf = shelved
    server.stop()
    shelf.put_back()
    server.start()


def build(page: Page) -> str:
    """Which build the page is; the page of an earlier one is told by the worker that kept it."""
    return page.locator("#app").get_attribute("data-app") or ""


def take_update(page: Page, before: str) -> None:
    expect(page.get_by_text("A new version is here.")).to_be_visible()
    assert build(page) == before
    page.get_by_role("button", name="Tap to update").click()
    expect(page.locator(f"#app:not([data-app='{before}'])")).to_be_attached()


def sent_whole(phone: Operator, count: int = COUNT) -> None:
    """Everything is in the log once, under the numbers that it was saved with."""
    phone.page.unroute(PUSH)
    phone.open("/#outbox")
    if "waiting" in phone.sync_line.inner_text():
        phone.tap("Send now")
    phone.wait_all_sent()
    sent = entries_of(phone.server)
    assert sorted(one["device_seq"] for one in sent) == list(range(1, count + 1))
    assert len({one["id"] for one in sent}) == count


@pytest.mark.parametrize("name", EARLIER)
def test_f12_f13_an_earlier_app_with_a_full_outbox_is_taken_over_by_this_one(
    name: str,
    old_phone: Callable[[str], Operator],
    shelved: tuple[ShopProcess, Shelf],
    ids: dict[str, Any],
) -> None:
    phone = old_phone(name)
    upgrade(shelved)
    phone.open("/")
    take_update(phone.page, build(phone.page))
    expect(phone.sync_line).to_contain_text(f"{COUNT} waiting")
    # The page works, with what the earlier app has kept of the shop.
    phone.type_code(ids["code"])
    phone.tweak("D1", seen="Skip")
    sent_whole(phone, COUNT + 1)


FETCHED = """async () => {
  const one = await navigator.serviceWorker.getRegistration();
  await one.update();
  // Until it is whole the one that waited is still the newest there is to take.
  for (let n = 0; one.installing && n < 400; n += 1) {
    await new Promise((go) => setTimeout(go, 50));
  }
}"""


def test_f13_two_versions_are_skipped(
    old_phone: Callable[[str], Operator], shelved: tuple[ShopProcess, Shelf]
) -> None:
    """One that waited to be let in is passed over for the next."""
    server, _ = shelved
    phone = old_phone(EARLIER[0])
    before = build(phone.page)
    server.stop()
    publish_earlier(server, EARLIER[-1])
    server.start()
    phone.open("/")
    expect(phone.page.get_by_text("A new version is here.")).to_be_visible()
    upgrade(shelved)
    phone.open("/")
    phone.page.evaluate(FETCHED)
    take_update(phone.page, before)
    phone.wait_offline_ready()
    assert (
        build(phone.page)
        == phone.page.evaluate("fetch('/health').then((it) => it.json())")["build"]
    )
    sent_whole(phone)


def test_f13_an_update_in_the_middle_of_a_push(
    old_phone: Callable[[str], Operator], shelved: tuple[ShopProcess, Shelf]
) -> None:
    """The server has the batch, and the page that should hear of it is gone."""
    phone = old_phone(EARLIER[-1])
    upgrade(shelved)
    phone.page.unroute(PUSH)
    phone.page.add_init_script(KEEP_ANSWERS)
    phone.page.evaluate("sessionStorage.setItem('keep', 'yes')")
    phone.open("/")
    before = build(phone.page)
    for _ in range(SLOW_MS // 100):
        if entries_of(phone.server):
            break
        phone.page.wait_for_timeout(100)
    assert 0 < len(entries_of(phone.server)) < COUNT
    assert "sending" in phone.outbox_states()
    phone.page.evaluate("sessionStorage.removeItem('keep')")
    take_update(phone.page, before)
    sent_whole(phone)


def test_f9_f13_two_tabs_are_open_when_one_takes_the_update(
    old_phone: Callable[[str], Operator],
    shelved: tuple[ShopProcess, Shelf],
    ids: dict[str, Any],
) -> None:
    """The other one stays as it is, saves, and is let in later by the same tap."""
    phone = old_phone(EARLIER[-1])
    upgrade(shelved)
    phone.open("/")
    before = build(phone.page)
    other = phone.page.context.new_page()
    other.route(PUSH, lambda route: route.abort())
    other.goto(f"{phone.server.origin}/")
    expect(other.get_by_text("A new version is here.")).to_be_visible()
    phone.page.bring_to_front()
    take_update(phone.page, before)
    assert build(other) == before
    other.goto(f"{phone.server.origin}/#type")
    other.get_by_role("textbox").fill(ids["code"])
    other.get_by_role("button", name="Open", exact=True).click()
    other.get_by_role("button", name="Tweak").click()
    other.locator("[data-bolt=D1]").click()
    other.get_by_role("button", name="Skip").click()
    other.get_by_role("button", name="Save", exact=True).click()
    expect(other.get_by_role("status").filter(has_text="Tweak of")).to_be_visible()
    other.close()
    sent_whole(phone, COUNT + 1)
