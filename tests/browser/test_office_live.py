"""An open page of the office follows the log, and takes nothing from whoever is using it."""

from typing import Any

import pytest
from playwright.sync_api import expect

from tests.browser.chromium import Profile
from tests.browser.desk import Manager
from tests.shop_process import ShopProcess

WRITE = """
from uuid import uuid4
from django.utils import timezone
from shopfloor.office import desk
desk.write("KIND", PAYLOAD, by="sol", id=desk.new_id(timezone.now()), frame="FRAME")
"""


def write(shop: ShopProcess, frame: str, kind: str, payload: dict[str, Any]) -> None:
    source = WRITE.replace("KIND", kind).replace("PAYLOAD", repr(payload))
    shop.python(source.replace("FRAME", frame))


@pytest.fixture
def manager(shop: ShopProcess, desk: Profile) -> Manager:
    return Manager(desk, shop).sign_in()


def test_a_row_moves_while_somebody_types_into_the_search(
    manager: Manager, shop: ShopProcess, ids: dict[str, Any]
) -> None:
    manager.open("/office/frames/")
    row = manager.page.locator("tbody tr", has_text=ids["code"])
    expect(row).not_to_contain_text("rack B4")
    search = manager.page.get_by_label("Search")
    search.press_sequentially("half a wo")
    write(shop, ids["frame"], "moved", {"to": "rack", "rack": "B4"})
    expect(row).to_contain_text("rack B4")
    expect(search).to_have_value("half a wo")
    expect(search).to_be_focused()
    search.press_sequentially("rd")
    expect(search).to_have_value("half a word")


def test_the_link_that_has_the_focus_keeps_it(
    manager: Manager, shop: ShopProcess, ids: dict[str, Any]
) -> None:
    manager.open("/office/frames/")
    link = manager.page.get_by_role("link", name=ids["code"])
    link.focus()
    write(shop, ids["frame"], "moved", {"to": "rack", "rack": "C1"})
    expect(manager.page.locator("tbody tr").first).to_contain_text("rack C1")
    expect(link).to_be_focused()
    manager.page.keyboard.press("Enter")
    manager.page.wait_for_url(f"**/office/frames/{ids['frame']}/")


def test_a_frames_page_follows_and_is_drawn_again(
    manager: Manager, shop: ShopProcess, ids: dict[str, Any]
) -> None:
    manager.open(f"/office/frames/{ids['frame']}/")
    drawing = manager.page.locator("figure[data-drawing] svg")
    expect(drawing).to_have_count(1)
    seized = drawing.locator(".fd-sign")
    expect(seized).to_have_count(0)
    write(shop, ids["frame"], "bolt_state", {"bolt": "A1", "state": "seized"})
    expect(manager.page.locator(".told").first).to_have_text("Bolt A1 seized")
    expect(seized).to_have_count(1)
    expect(drawing).to_have_count(1)


def test_bolts_are_drawn_while_their_places_are_typed(manager: Manager) -> None:
    manager.open("/office/frames/new/")
    bolts = manager.page.locator("figure[data-drawing] .fd-bolt")
    expect(bolts).to_have_count(0)
    manager.page.get_by_label("Along A and C").fill("900")
    manager.page.get_by_label("Along B and D").fill("600")
    manager.page.get_by_label("Side B").fill("100 300 500 999")
    expect(bolts).to_have_count(3)


def test_the_first_free_label_is_shown_while_its_number_is_typed(manager: Manager) -> None:
    manager.open("/office/labels/")
    sheet = manager.page.locator("svg.counted").first
    expect(sheet.locator("rect").first).to_have_class("is-first")
    manager.page.locator("[name=start]").fill("5")
    expect(sheet.locator(".is-used")).to_have_count(4)
    expect(sheet.locator("rect").nth(4)).to_have_class("is-first")


def test_a_page_says_that_it_may_be_out_of_date(manager: Manager, shop: ShopProcess) -> None:
    manager.open("/office/")
    stale = manager.page.locator("#stale")
    expect(stale).to_be_hidden()
    shop.kill()
    expect(stale).to_have_text("No connection to Tautbook. This page may be out of date.")
    shop.start()
    expect(stale).to_be_hidden()


def test_a_page_left_signed_out_says_so_and_keeps_what_was_typed(
    manager: Manager, shop: ShopProcess
) -> None:
    manager.open("/office/frames/")
    manager.page.get_by_label("Search").fill("K7")
    shop.python(
        "from django.contrib.sessions.models import Session; Session.objects.all().delete()"
    )
    expect(manager.page.locator("#stale")).to_contain_text("Signed out.")
    expect(manager.page.get_by_label("Search")).to_have_value("K7")
