"""Mesh onto a frame step by step, the server gone half-way, the page reloaded in between."""

import re
from typing import Any

from playwright.sync_api import Locator, expect

from tests.browser.hand import Operator
from tests.browser.small_shop import entries_of

Ids = dict[str, Any]
FIRST_ROUND = ["A2", "A3", "A4", "B2", "B3", "C2", "C3", "C4", "D2", "D3"]
ALL_BOLTS = 18


class Stretcher:
    """Leads a phone through the pages of fitting mesh."""

    def __init__(self, operator: Operator, code: str) -> None:
        self.operator, self.code, self.page = operator, code, operator.page

    @property
    def go(self) -> Locator:
        return self.page.locator(".foot .action.go")

    def open(self) -> None:
        self.operator.open(f"/f/{self.code}#stretch")

    def at(self, title: str) -> None:
        expect(self.page.locator("h1")).to_have_text(title)

    def done(self, title: str) -> None:
        """The step in hand is this one; it is done."""
        self.at(title)
        self.go.click()

    def turn(self, first: int, bolts: int) -> None:
        """Bolt after bolt is ticked off, then on to nipping up."""
        for bolt in range(first, bolts + 1):
            self.now(f"Bolt {bolt} of {bolts}")
            self.go.click()
        self.now(f"All {bolts} bolts done")
        self.go.click()
        self.now("Nip up")

    def now(self, words: str) -> None:
        expect(self.page.locator(".form-head p")).to_have_text(words)


def test_nothing_is_lost_on_the_way(operator: Operator, ids: Ids) -> None:
    operator.settle_context()
    hand = Stretcher(operator, ids["code"])
    hand.open()
    operator.page.get_by_label("It rocks by").fill("0,4")
    hand.done("Look the frame over")
    hand.at("Mesh, lock and bolts")
    operator.page.get_by_role("textbox", name="Rods").fill("standard")
    hand.done("Mesh, lock and bolts")
    operator.wait_stored()
    operator.server.stop()

    hand.done("Tear the mesh")
    hand.done("Set the bars")
    hand.done("Lock side A")
    hand.at("Lock side C")
    operator.page.reload()
    for side in "CBD":
        hand.done(f"Lock side {side}")
    hand.done("Round 1 of 2")
    for bolt in (1, 2, 3):
        hand.now(f"Bolt {bolt} of {len(FIRST_ROUND)}")
        hand.go.click()
    hand.now(f"Bolt 4 of {len(FIRST_ROUND)}")
    operator.page.reload()
    hand.now(f"Bolt 4 of {len(FIRST_ROUND)}")
    hand.turn(4, len(FIRST_ROUND))
    hand.go.click()
    hand.done("Round 2 of 2")
    hand.turn(1, ALL_BOLTS)
    operator.page.locator("[data-bolt=A1]").first.click()
    hand.go.click()
    hand.done("Ease the corners")
    hand.done("Read, plan, turn")
    expect(operator.page.get_by_role("timer")).to_contain_text("15 min to go")
    hand.done("Let it rest")
    operator.at_card(ids["code"])

    operator.server.start()
    operator.wait_all_sent()
    told(entries_of(operator.server), ids)


def test_corners_that_climbed_are_eased_by_end_bolts(operator: Operator, ids: Ids) -> None:
    """Five spots: what is carried along A is high at both corners of side A."""
    operator.settle_context()
    hand = Stretcher(operator, ids["code"])
    hand.open()
    page = operator.page
    hand.done("Look the frame over")
    hand.done("Mesh, lock and bolts")
    hand.done("Tear the mesh")
    hand.done("Set the bars")
    for side in "ACBD":
        hand.done(f"Lock side {side}")
    for title, bolts in (("Round 1 of 2", len(FIRST_ROUND)), ("Round 2 of 2", ALL_BOLTS)):
        hand.done(title)
        hand.turn(1, bolts)
        hand.go.click()
    hand.at("Ease the corners")
    expect(page.get_by_text("Not read yet.")).to_be_visible()
    page.get_by_role("button", name="Check", exact=True).click()
    operator.set_check("Five spots", "Meter 2")
    for along in ("14", "20", "20", "14", "14"):
        operator.key_in(along)
        operator.key_in("14")
    page.get_by_role("button", name=re.compile(r"^Save \d")).click()
    # The heading of the check is the code too; only the tick tells that it is saved.
    operator.saw_saved("Check of")
    hand.open()
    hand.at("Ease the corners")
    expect(
        page.get_by_text(re.compile("Corner A/B is .* N/cm above the rest along A"))
    ).to_be_visible()
    eased = page.locator(".st-turns dt, .st-figure")
    expect(eased.first).to_be_visible()
    assert page.evaluate("document.documentElement.scrollHeight - innerHeight") <= 0
    hand.go.click()
    hand.now("Bolt 1 of 2")
    hand.turn(1, 2)
    hand.go.click()
    hand.at("Read, plan, turn")
    operator.wait_all_sent()
    turned = [one for one in entries_of(operator.server) if one["kind"] == "bolt_turns"]
    bolts = {one["bolt"]: one["turn_48ths"] for one in turned[-1]["payload"]["bolts"]}
    assert set(bolts) == {"B1", "D4"}
    assert max(bolts.values()) < 0


def told(entries: list[dict[str, Any]], ids: Ids) -> None:
    """Every step once, in the order in which it was done, on the screen that the mesh began."""
    steps = [(one["kind"], one["payload"].get("step")) for one in entries]
    assert steps == [
        ("stretch_step", "inspected"),
        ("stretch_step", "lock"),
        ("stretch_step", "piece"),
        ("stretch_step", "pre_bow"),
        ("mesh_fitted", None),
        ("stretch_step", "locked"),
        ("bolt_turns", None),
        ("nipped_up", None),
        ("bolt_turns", None),
        ("nipped_up", None),
        ("stretch_step", "rested"),
    ]
    found = [one["payload"] for one in entries]
    assert found[0]["rock_mm"] == 0.4
    assert (found[1]["mesh"], found[1]["rods"]) == (ids["mesh"], "standard")
    assert found[5]["sides"] == ["A", "C", "B", "D"]
    fitted = entries[4]["id"]
    assert {one["screen"] for one in entries[4:]} == {fitted}
    assert [one["bolt"] for one in found[6]["bolts"]] == FIRST_ROUND
    assert len(found[8]["bolts"]) == ALL_BOLTS
    assert found[9]["bolts"] == [{"bolt": "A1", "turn_48ths": 8}]
    assert [one["occurred_at"] for one in entries] == sorted(one["occurred_at"] for one in entries)


IN_INCHES = """
from frames import things
from frames.models import Shop
shop = Shop.objects.get()
things.change("shop", shop.pk, {"length_unit": "in"}, shop.version, "tests")
"""


def test_an_inch_shop_types_inches(operator: Operator, ids: Ids) -> None:
    operator.settle_context()
    operator.server.python(IN_INCHES)
    operator.open("/")
    operator.wait_all_sent()
    hand = Stretcher(operator, ids["code"])
    hand.open()
    expect(operator.page.get_by_text("More than 0.039 in: not fit for use.")).to_be_visible()
    operator.page.get_by_label("It rocks by").fill("much")
    hand.done("Look the frame over")
    expect(operator.page.get_by_text("Type how far it rocks as a number")).to_be_visible()
    operator.page.get_by_label("It rocks by").fill("0.02")
    hand.done("Look the frame over")
    hand.at("Mesh, lock and bolts")
    operator.wait_stored()
    [entry] = entries_of(operator.server)
    assert (entry["payload"]["passed"], entry["payload"]["rock_mm"]) == (True, 0.508)


def test_a_frame_that_rocks_too_much_is_told(operator: Operator, ids: Ids) -> None:
    operator.settle_context()
    hand = Stretcher(operator, ids["code"])
    hand.open()
    operator.page.get_by_label("It rocks by").fill("much")
    hand.done("Look the frame over")
    expect(operator.page.get_by_text(re.compile("Type how far it rocks"))).to_be_visible()
    operator.page.get_by_label("It rocks by").fill("3")
    hand.done("Look the frame over")
    expect(operator.page.get_by_role("button", name="Repair")).to_be_visible()
    operator.wait_stored()
    [entry] = entries_of(operator.server)
    assert (entry["payload"]["passed"], entry["payload"]["rock_mm"]) == (False, 3)
