"""Register on the phone with no network: is it real, and then press, bolts, or neither."""

from typing import Any

import numpy as np
import pytest
from playwright.sync_api import Locator, expect

from tests.browser.plan_shop import LAYOUTS
from tests.browser.small_shop import entries_of
from tests.browser.spanner import Spanner
from tests.mechanics.plant import Plant

Ids = dict[str, Any]
MARKS = {"left": (0.2, 0.5), "right": (0.8, 0.5)}
OUT = "The screen must come out; register will be lost."
READ_MM = 0.05  # a loupe's graduation; what a person reads is off by about half of it


@pytest.fixture
def spanner(plan_operator: Any, plan_ids: Ids) -> Spanner:
    plant = Plant(7, LAYOUTS["printing"], start_n_per_cm=20.0)
    plant.nip_up()
    plant.expose()
    return Spanner(plan_operator, "printing", plan_ids["codes"]["printing"], plant)


def begin(spanner: Spanner, press: str) -> None:
    spanner.settle(press=press)
    spanner.operator.server.stop()
    spanner.open_card()
    spanner.operator.tap("Register")
    spanner.operator.tap("Yes, three")


def tell(spanner: Spanner, at: tuple[float, float], way: str, pulls: list[float]) -> None:
    """Tap a mark, the way it printed, and the number of each pull."""
    mesh = spanner.page.locator(".marks .fd-points")
    box = mesh.bounding_box()
    mesh.click(position={"x": at[0] * box["width"], "y": (1 - at[1]) * box["height"]})
    spanner.operator.tap(f"printed {way}")
    for number, far in enumerate(pulls, start=1):
        spanner.page.get_by_role("textbox", name=f"Pull {number}, mm").fill(f"{far:.2f}")


def answer(spanner: Spanner) -> str:
    spanner.operator.tap("What to do?")
    head = spanner.page.locator(".answer-head")
    head.wait_for()
    return head.inner_text()


def test_pulls_that_scatter_send_to_lays_and_clamps(spanner: Spanner) -> None:
    begin(spanner, "Press 1")
    tell(spanner, MARKS["left"], "right", [0.10, -0.05, 0.20])
    assert answer(spanner) == "Lays and clamps first"
    assert spanner.shown_turns() == {}
    expect(spanner.page.get_by_role("button", name="Start turning")).to_have_count(0)


def test_a_miss_within_tolerance_is_left_alone(spanner: Spanner) -> None:
    begin(spanner, "Press 1")
    tell(spanner, MARKS["left"], "right", [0.06, 0.06, 0.06])
    assert answer(spanner) == "Leave it alone"
    assert spanner.shown_turns() == {}


def hatched(spanner: Spanner) -> Locator:
    return spanner.page.locator('.fd-bolt[fill^="url"]')


def test_bolts_under_clamps_are_hatched_and_never_prescribed(spanner: Spanner) -> None:
    begin(spanner, "Press 2")
    tell(spanner, (0.5, 0.2), "near", [0.30, 0.30, 0.30])
    tell(spanner, (0.5, 0.8), "away", [0.30, 0.30, 0.30])
    assert answer(spanner) == "Turn bolts"
    expect(hatched(spanner)).to_have_count(10)
    hidden = {f"{side}{number}" for side in "BD" for number in range(2, 7)}
    bolts = spanner.shown_turns()
    assert bolts
    assert not bolts.keys() & hidden


def test_where_clamps_leave_nothing_the_screen_must_come_out(spanner: Spanner) -> None:
    begin(spanner, "Press 2")
    tell(spanner, MARKS["left"], "left", [0.20, 0.20, 0.25])
    tell(spanner, MARKS["right"], "right", [0.20, 0.25, 0.20])
    assert answer(spanner) == "Not by bolts"
    expect(spanner.page.locator(".state.bad")).to_have_text(OUT)
    assert spanner.shown_turns() == {}
    expect(spanner.page.get_by_role("button", name="Start turning")).to_have_count(0)


def test_a_shift_goes_to_the_screws_of_the_press(spanner: Spanner, plan_ids: Ids) -> None:
    begin(spanner, "Press 4")
    tell(spanner, MARKS["left"], "right", [0.30, 0.30, 0.30])
    tell(spanner, MARKS["right"], "right", [0.30, 0.30, 0.30])
    assert answer(spanner) == "Press screws first"
    steps = spanner.page.locator(".press-steps li")
    # Both push to the right by 0.1 mm a division; it printed 0.3 mm to the right.
    expect(steps.nth(0)).to_have_text("near screw: 3 divisions anticlockwise.")
    expect(steps.nth(1)).to_have_text("far screw: 3 divisions anticlockwise.")
    expect(spanner.page.locator(".caution")).to_contain_text("Stop. Isolate. Lock. Prop.")
    assert spanner.shown_turns() == {}
    spanner.operator.tap("Done, pull three")
    after_marks(spanner)
    spanner.operator.server.start()
    spanner.operator.wait_all_sent()
    tweak, after = entries_of(spanner.operator.server)
    assert tweak["payload"]["bolts"] == []
    assert tweak["payload"]["press"] == plan_ids["screw press"]
    assert after["payload"]["tweak"] == tweak["id"]


class Wide:
    """A colour that printed wide along A: 0.3 mm at each of two marks, with nothing turned."""

    def __init__(self, plant: Plant) -> None:
        self.plant, self.wrong = plant, np.array([[-0.3, 0.0], [0.3, 0.0]])

    def off(self) -> np.ndarray:
        """Where the marks print now, mm (2, 2)."""
        return self.wrong + self.plant.displacement_of(list(MARKS.values()))

    def rms(self) -> float:
        return float(np.sqrt((self.off() ** 2).sum(axis=1).mean()))


def test_a_wide_colour_comes_in_by_the_bolts_and_the_log_knows_why(
    spanner: Spanner, plan_ids: Ids
) -> None:
    begin(spanner, "Press 1")
    wide, noise = Wide(spanner.plant), np.random.default_rng(11)
    for (name, at), off in zip(MARKS.items(), wide.off(), strict=True):
        read = off[0] + noise.normal(0, READ_MM / 2, 3)
        tell(spanner, at, name, [abs(float(np.round(one / READ_MM) * READ_MM)) for one in read])
    before = wide.rms()
    assert answer(spanner) == "Turn bolts"
    moving = spanner.page.locator(".fd-moves > path")
    expect(moving).to_have_count(25)
    spanner.operator.tap("Start turning")
    expect(spanner.page.locator(".caution")).to_contain_text("Stop. Isolate. Lock. Prop.")
    turned = spanner.tick_off()
    spanner.plant.turn({bolt: turn / 48 for bolt, turn in turned.items()})
    spanner.nip_up()
    spanner.operator.tap("Save the round")
    assert wide.rms() < 0.5 * before
    after_marks(spanner)

    spanner.operator.server.start()
    spanner.operator.wait_all_sent()
    plan, tweak, nipped, after = entries_of(spanner.operator.server)
    assert [one["kind"] for one in (plan, tweak, nipped, after)] == [
        "turn_plan", "register_tweak", "nipped_up", "after_marks",
    ]  # fmt: skip
    assert plan["payload"]["purpose"] == "register"
    assert tweak["payload"]["plan"] == plan["id"]
    assert {one["bolt"]: one["turn_48ths"] for one in tweak["payload"]["bolts"]} == turned
    assert tweak["payload"]["press"] == plan_ids["open press"]
    assert [round(one["dx_mm"], 1) for one in tweak["payload"]["marks"]] == [-0.3, 0.3]
    assert after["payload"]["tweak"] == tweak["id"]


def after_marks(spanner: Spanner) -> None:
    """Back on the card the phone asks how it prints now."""
    spanner.operator.at_card(spanner.code)
    spanner.operator.tap(spanner.page.get_by_role("button", name="After marks?").last)
    spanner.operator.tap("Better")
    spanner.operator.tap("Save")
    spanner.operator.saw_saved("After marks")
