"""A list of 5,000 frames comes in through the page: looked at, taken chunk by chunk, counted."""

import re

import pytest
from playwright.sync_api import expect

from tests.browser import judged
from tests.browser.chromium import Profile
from tests.browser.desk import Manager
from tests.exchange.paper import FRAME, paper
from tests.shop_process import ShopProcess

SOON = 240_000  # twenty chunks, on a machine that is busy with other tests
LISTS = "/office/shop/lists/"


@pytest.fixture
def manager(shop: ShopProcess, desk: Profile) -> Manager:
    return Manager(desk, shop).sign_in()


def choose(manager: Manager, text: str) -> None:
    manager.open(LISTS)
    page = manager.page
    page.get_by_label("What is in it").select_option("frames")
    file = {"name": "rack.csv", "mimeType": "text/csv", "buffer": text.encode()}
    page.get_by_label("CSV file").set_input_files(file)
    page.get_by_role("button", name="Look at the rows").click()
    page.wait_for_url("**/lists/in/**")


def test_five_thousand_rows_are_looked_at_and_taken_with_progress(
    manager: Manager, shop: ShopProcess
) -> None:
    plain = FRAME | {"second name": ""}
    rows = [plain | {"number": str(number)} for number in range(1001, 6001)]
    choose(manager, paper(*rows, plain | {"number": "7777", "head": "round"}))
    page = manager.page
    expect(page.get_by_text("Nothing is in the book yet.")).to_be_visible()
    page.get_by_role("link", name="To mend 1").click()
    expect(page.get_by_text("head “round”: Write one of: hex, socket.")).to_be_visible()
    page.evaluate(WATCH)
    page.get_by_role("button", name=re.compile("Take these 5.000")).click()
    expect(
        page.get_by_text(re.compile("All 5.000 are through. 1 stay to be mended."))
    ).to_be_visible(timeout=SOON)
    assert page.evaluate("JSON.parse(sessionStorage.getItem('seen'))") == list(
        range(250, 5001, 250)
    )
    counted = shop.python(
        "from frames.models import Frame; print(Frame.objects.filter(number__gt=1000).count())"
    )
    assert counted.strip() == "5000"


# The page loads itself anew at the end, so what the bar showed is kept beside it.
WATCH = """() => {
  const bar = document.querySelector("progress");
  sessionStorage.setItem("seen", "[]");
  new MutationObserver(() => {
    const seen = JSON.parse(sessionStorage.getItem("seen"));
    if (bar.value > 0 && seen.at(-1) !== bar.value) seen.push(bar.value);
    sessionStorage.setItem("seen", JSON.stringify(seen));
  }).observe(bar, { attributes: true });
}"""


@pytest.mark.parametrize("width", [320, 900, 1280])
def test_pages_of_lists_stand_up_to_axe_and_narrow_screens(manager: Manager, width: int) -> None:
    page = manager.page
    page.set_viewport_size({"width": width, "height": 800})
    choose(
        manager,
        paper(FRAME, FRAME | {"profile": "round", "step": "1/7", "inside A [mm]": "1.234,5"}),
    )
    for address in (
        page.url,
        f"{manager.server.origin}{LISTS}",
        f"{manager.server.origin}{LISTS}columns/",
    ):
        page.goto(address)
        page.wait_for_timeout(judged.SETTLE_MS)
        assert judged.axe_findings(page) == []
        assert judged.lost(page) == []
