"""Letting a phone in by its camera, and shutting one out without losing what it holds."""

import json
import re
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import expect

from tests.browser.camera import point_at
from tests.browser.chromium import Profile
from tests.browser.desk import Manager
from tests.browser.hand import Operator
from tests.browser.small_shop import entries_of
from tests.shop_process import ShopProcess


def test_a_phone_scans_the_managers_symbol_shows_its_number_and_is_in(
    shop: ShopProcess, phone: Profile, desk: Profile, ids: dict[str, Any], tmp_path: Path
) -> None:
    manager = Manager(desk, shop).sign_in()
    symbol = manager.add_phone("Press 3 phone")
    phone.camera = point_at(symbol, tmp_path / "camera.mjpeg")
    operator = Operator(phone, shop)
    operator.open("/")
    operator.tap("Enrol this phone")
    number = operator.page.locator(".claim-number").inner_text()
    assert re.fullmatch(r"\d\d", number)
    manager.let_in(number)
    expect(manager.page.get_by_text("Press 3 phone is in.")).to_be_visible()
    operator.wait_all_sent()
    operator.settle_context()
    phone.close()

    operator.type_code(ids["code"])
    operator.tweak("A2", seen="All one way")
    operator.wait_all_sent()
    [entry] = entries_of(shop)
    assert entry["kind"] == "register_tweak"


def test_a_wrong_number_lets_nobody_in(
    shop: ShopProcess, phone: Profile, desk: Profile, tmp_path: Path
) -> None:
    manager = Manager(desk, shop).sign_in()
    code = manager.add_phone_by_code("Press 3 phone")
    operator = Operator(phone, shop)
    operator.open("/e")
    operator.tap("Type eight characters instead")
    operator.page.get_by_label("Eight characters").fill(code.lower())
    operator.tap("Go on")
    number = operator.page.locator(".claim-number").inner_text()
    manager.let_in(f"{(int(number) + 1) % 100:02}")
    expect(manager.page.get_by_text(re.compile("tries left")).first).to_be_visible()
    expect(operator.page.locator(".claim-number")).to_have_text(number)
    manager.let_in(number)
    operator.wait_all_sent()


@pytest.mark.promise(9)
def test_a_blocked_phone_keeps_its_outbox_exports_it_and_drains_when_taken_back(
    operator: Operator, desk: Profile, ids: dict[str, Any], tmp_path: Path
) -> None:
    manager = Manager(desk, operator.server).sign_in()
    operator.settle_context()
    manager.change_phone("Phone 1", "Block")
    operator.type_code(ids["code"])
    operator.tweak("C2", seen="Skip")
    expect(operator.sync_line).to_contain_text("held")
    assert entries_of(operator.server) == []

    operator.open("/#outbox")
    expect(operator.page.get_by_text("Tweak")).to_be_visible()
    with operator.page.expect_download() as coming:
        operator.tap("Export to file")
    saved = json.loads(Path(coming.value.path()).read_text("utf-8"))
    [kept] = saved["entries"]
    assert kept["payload"]["bolts"] == [{"bolt": "C2", "turn_48ths": 8}]

    operator.profile.close()
    operator.open("/#outbox")
    expect(operator.page.get_by_text("Tweak")).to_be_visible()
    manager.change_phone("Phone 1", "Take back")
    operator.tap("Send now")
    operator.wait_all_sent()
    [entry] = entries_of(operator.server)
    assert entry["id"] == kept["id"]


def test_a_retired_phone_still_hands_in_what_it_holds(
    operator: Operator, desk: Profile, ids: dict[str, Any]
) -> None:
    manager = Manager(desk, operator.server).sign_in()
    operator.settle_context()
    operator.type_code(ids["code"])
    operator.server.stop()
    operator.tweak("C2", seen="Skip")
    operator.server.start()
    manager.change_phone("Phone 1", "Retire")
    operator.tap(operator.sync_line)
    operator.tap("Send now")
    operator.wait_stored()
    assert len(entries_of(operator.server)) == 1
