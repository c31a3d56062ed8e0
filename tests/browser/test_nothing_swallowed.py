"""What somebody was told is saved, is saved: the second try, the second tab, the next mesh."""

import re
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests.browser.hand import Operator
from tests.browser.small_shop import entries_of
from tests.browser.test_stretch import FIRST_ROUND, Stretcher

pytestmark = pytest.mark.promise(1)
SAVE = re.compile(r"^Save \d")
SAVE_AND_ONE_MORE_KEY = """() => {
  [...document.querySelectorAll(".foot .action")].find((b) => /^Save/.test(b.textContent)).click();
  document.querySelector(".keypad [data-key='2']").click();
}"""
FULL = """() => {
  const add = IDBObjectStore.prototype.add;
  IDBObjectStore.prototype.add = function (...what) {
    if (this.name === "outbox") throw new DOMException("full", "QuotaExceededError");
    return add.apply(this, what);
  };
}"""
KEPT = """(keys) => new Promise((resolve) => {
  const open = indexedDB.open("tautbook");
  open.onsuccess = () => {
    const all = open.result.transaction("meta").objectStore("meta").getAll();
    all.onsuccess = () => {
      open.result.close();
      resolve(all.result.some((one) => JSON.stringify(one?.form ?? "").includes(keys)));
    };
  };
})"""


def checks(operator: Operator) -> list[list[tuple[float | None, float | None]]]:
    """What stands in the log of every check: the readings along A and across, spot by spot."""
    found = [one for one in entries_of(operator.server) if one["kind"] == "tension_check"]
    return [
        [(spot["along_a_n_per_cm"], spot["across_a_n_per_cm"]) for spot in one["payload"]["spots"]]
        for one in found
    ]


def kinds(operator: Operator) -> list[str]:
    return [one["kind"] for one in entries_of(operator.server)]


def begin_check(operator: Operator, code: str) -> None:
    operator.type_code(code)
    operator.tap("Check")
    expect(operator.page.locator(".keypad")).to_be_visible()


def save_check(operator: Operator) -> None:
    operator.tap(operator.page.get_by_role("button", name=SAVE))
    operator.saw_saved("Check of")


def test_the_browser_throws_everything_away_under_the_open_app(
    operator: Operator, ids: dict[str, Any]
) -> None:
    operator.settle_context()
    operator.type_code(ids["code"])
    operator.tap("Tweak")
    operator.tap(operator.page.locator("[data-bolt=A1]"))
    operator.tap("Skip")
    before = len(kinds(operator))
    browser = operator.page.context.new_cdp_session(operator.page)
    what = {"origin": operator.server.origin, "storageTypes": "indexeddb"}
    browser.send("Storage.clearDataForOrigin", what)
    operator.tap("Save")
    operator.saw_saved("Tweak of")
    operator.wait_all_sent()
    assert kinds(operator)[before:] == ["register_tweak"]


def test_the_tick_of_the_entry_before_does_not_stand_while_one_is_being_saved(
    operator: Operator, ids: dict[str, Any]
) -> None:
    operator.settle_context()
    operator.type_code(ids["code"])
    operator.tweak("A1", seen="Skip")
    operator.tap("Tweak")
    operator.tap(operator.page.locator("[data-bolt=B2]"))
    operator.tap("Skip")
    operator.hold("outbox")
    operator.tap("Save")
    assert not operator.page.get_by_role("status").filter(has_text="Tweak of").is_visible()
    operator.let_go()
    operator.saw_saved("Tweak of")
    operator.wait_all_sent()
    assert kinds(operator).count("register_tweak") == 2


def test_one_more_key_after_save_costs_no_later_check(
    operator: Operator, ids: dict[str, Any]
) -> None:
    operator.settle_context()
    begin_check(operator, ids["code"])
    operator.key_in("20")
    operator.page.evaluate(SAVE_AND_ONE_MORE_KEY)
    operator.saw_saved("Check of")
    for reading in ("23", "24"):
        begin_check(operator, ids["code"])
        operator.key_in(reading)
        save_check(operator)
    operator.wait_all_sent()
    assert checks(operator) == [[(20, None)], [(23, None)], [(24, None)]]


def test_one_check_in_two_tabs_typed_on_in_the_second(
    operator: Operator, ids: dict[str, Any]
) -> None:
    operator.settle_context()
    begin_check(operator, ids["code"])
    operator.key_in("20")
    operator.until(KEPT, "20", otherwise="the reading was not kept")
    two: Page = operator.page.context.new_page()
    two.goto(f"{operator.server.origin}/f/{ids['code']}#check")
    expect(two.get_by_role("button", name=SAVE)).to_be_visible()
    save_check(operator)
    for key in "25":
        two.locator(f".keypad [data-key='{key}']").click()
    two.get_by_role("button", name=SAVE).click()
    expect(two.get_by_role("status").filter(has_text="Check of")).to_be_visible()
    operator.wait_all_sent()
    assert checks(operator) == [[(20, None)], [(20, 25)]]


def test_a_round_gone_back_to_and_turned_once_more(operator: Operator, ids: dict[str, Any]) -> None:
    operator.settle_context()
    hand = Stretcher(operator, ids["code"])
    hand.open()
    until_locked(hand)
    for time in (1, 2):
        hand.done("Round 1 of 2")
        hand.turn(1, len(FIRST_ROUND))
        hand.go.click()
        hand.at("Round 2 of 2")
        operator.saw_saved("Round 1 of 2")
        if time == 1:
            back(operator)
    operator.wait_all_sent()
    assert kinds(operator).count("bolt_turns") == 2


def test_the_next_mesh_after_a_fitting_whose_last_taps_were_left_out(
    operator: Operator, ids: dict[str, Any]
) -> None:
    operator.settle_context()
    hand = Stretcher(operator, ids["code"])
    for _ in range(2):
        hand.open()
        until_locked(hand)
        for title, bolts in (("Round 1 of 2", len(FIRST_ROUND)), ("Round 2 of 2", 18)):
            hand.done(title)
            hand.turn(1, bolts)
            hand.go.click()
        hand.at("Ease the corners")
        operator.wait_stored()
        operator.open(f"/f/{ids['code']}#form/mesh_removed")
        operator.tap("Save")
        operator.saw_saved(ids["code"])
        operator.wait_all_sent()
        operator.open("/")
    assert kinds(operator).count("mesh_fitted") == 2
    assert kinds(operator).count("bolt_turns") == 4


def until_locked(hand: Stretcher) -> None:
    for title in ("Look the frame over", "Mesh, lock and bolts", "Tear the mesh", "Set the bars"):
        hand.done(title)
    for side in "ACBD":
        hand.done(f"Lock side {side}")


def back(operator: Operator) -> None:
    operator.tap(operator.page.locator(".foot .action", has_text="Back"))


def test_a_note_for_the_next_shift_stays_typed_where_the_phone_is_full(
    operator: Operator, ids: dict[str, Any]
) -> None:
    operator.settle_context()
    operator.open("/#shift")
    box = operator.page.get_by_label("Note for the next shift")
    box.fill("Leave bolt B3 alone until Tuesday")
    operator.page.evaluate(FULL)
    operator.tap("Save the note")
    expect(operator.page.locator(".notice")).to_contain_text("storage is full")
    expect(box).to_have_value("Leave bolt B3 alone until Tuesday")
