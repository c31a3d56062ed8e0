"""The whole job, for real: a printed label, a phone without a server, the office afterwards."""

import re
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import expect

from tests.browser.camera import point_at_label
from tests.browser.chromium import SLOW_MS, Profile
from tests.browser.desk import Manager
from tests.browser.hand import Operator
from tests.browser.small_shop import entries_of
from tests.shop_process import ShopProcess

CHECK = ["20½", "21"]


@pytest.mark.promise(7)
def test_scanned_logged_offline_sent_and_brought_back_after_a_restore(
    shop: ShopProcess, phone: Profile, desk: Profile, ids: dict[str, Any], tmp_path: Path
) -> None:
    manager = Manager(desk, shop).sign_in()
    phone.camera = point_at_label(manager.print_labels(ids["frame"]), tmp_path / "camera.mjpeg")
    operator = Operator(phone, shop).let_in(ids["cookies"][0])
    operator.settle_context()
    earlier = tmp_path / "earlier.sqlite3"
    shop.copy_database(earlier)

    shop.stop()
    before = datetime.now(UTC)
    log_a_check_and_a_tweak(operator, ids["code"])
    after = datetime.now(UTC)
    expect(operator.sync_line).to_contain_text("2 waiting")

    phone.close()
    operator.open(f"/f/{ids['code']}")
    operator.at_card(ids["code"])
    expect(operator.sync_line).to_contain_text("2 waiting")
    assert len(operator.outbox_states()) == 2

    shop.start()
    operator.wait_all_sent()
    sent = entries_of(shop)
    assert_once_each_at_the_right_time(sent, before, after, ids)
    look_once(manager, ids, sent)

    shop.stop()
    shop.put_database_back(earlier)
    assert entries_of(shop) == []
    shop.start()
    wait_until_back(operator, len(sent))
    assert sorted(entries_of(shop), key=by_id) == sorted(sent, key=by_id)
    look_once(manager, ids, sent)


def by_id(entry: dict[str, Any]) -> str:
    return entry["id"]


def look_once(manager: Manager, ids: dict[str, Any], sent: list[dict[str, Any]]) -> None:
    check, tweak = sent
    manager.sees_once(ids["frame"], "check", check["occurred_at"], "Ines")
    manager.sees_once(ids["frame"], "tweak", tweak["occurred_at"], "Ines")


def log_a_check_and_a_tweak(operator: Operator, code: str) -> None:
    """From the home page, scanning the label with the camera; no server answers meanwhile."""
    operator.open("/")
    operator.scan(code)
    operator.tap("Check")
    operator.set_check("Centre", "Meter 2")
    for reading in CHECK:
        operator.key_in(reading)
    operator.tap(operator.page.get_by_role("button", name=re.compile(r"^Save \d")))
    operator.saw_saved("Check of")
    operator.at_card(code)
    operator.tweak("B2", "D3", seen="Long or short")


def assert_once_each_at_the_right_time(
    entries: list[dict[str, Any]], before: datetime, after: datetime, ids: dict[str, Any]
) -> None:
    assert [one["kind"] for one in entries] == ["tension_check", "register_tweak"]
    check, tweak = entries
    assert check["payload"]["spots"] == [
        {"u": 0.5, "v": 0.5, "along_a_n_per_cm": 20.5, "across_a_n_per_cm": 21}
    ]
    turned = {one["bolt"]: one["turn_48ths"] for one in tweak["payload"]["bolts"]}
    assert turned == {"B2": 8, "D3": 8}
    for one in entries:
        assert one["frame"] == ids["frame"]
        # The scanned text travels along raw: a wrong label can then be found out later.
        assert ids["code"].replace("-", "") in one["scanned"].upper().replace("-", "")
        happened = datetime.fromisoformat(one["occurred_at"])
        corrected = happened + timedelta(milliseconds=one["clock_offset_ms"])
        assert before <= happened <= after
        assert abs(corrected - happened) < timedelta(seconds=2)


def wait_until_back(operator: Operator, count: int) -> None:
    """Nobody touches the phone: it finds out by itself that the server forgot."""
    for _ in range(SLOW_MS * 3 // 500):
        if len(entries_of(operator.server)) >= count:
            return
        operator.page.wait_for_timeout(500)
    raise AssertionError(f"after the restore the phone did not send again: {operator.server.log()}")
