"""Pages of plans, register, fitting: axe, light and dark, 320 px, text at 200 %, the keyboard."""

from collections.abc import Iterator
from typing import Any

import pytest

from tests.browser import judged
from tests.browser.plan_shop import LAYOUTS
from tests.browser.spanner import Spanner
from tests.mechanics.plant import Plant

Ids = dict[str, Any]


def tension_pages(spanner: Spanner) -> Iterator[str]:
    """Walks a round; yields the name of each page while it is open."""
    spanner.settle()
    spanner.first_check()
    spanner.plan()
    yield "plan"
    spanner.operator.tap("Start turning")
    yield "turning"
    spanner.operator.tap("Turned otherwise?")
    yield "turned otherwise"
    spanner.operator.tap("All bolts as a list")
    yield "list"
    spanner.operator.tap("Nip up")
    yield "nip up"
    spanner.operator.tap("Save the round")
    spanner.check_again()
    yield "card with the last round"
    spanner.plan()
    yield "plan after a round"


def register_pages(spanner: Spanner) -> Iterator[str]:
    spanner.settle(press="Press 2")
    spanner.open_card()
    spanner.operator.tap("Register")
    yield "pulled three?"
    spanner.operator.tap("Yes, three")
    yield "no mark yet"
    mesh = spanner.page.locator(".marks .fd-points")
    box = mesh.bounding_box()
    for at, way in ((0.2, "near"), (0.8, "away")):
        mesh.click(position={"x": 0.5 * box["width"], "y": (1 - at) * box["height"]})
        spanner.operator.tap(f"printed {way}")
        for number in (1, 2, 3):
            spanner.page.get_by_role("textbox", name=f"Pull {number}, mm").fill("0.3")
    spanner.page.locator("summary", has_text="Key colour").click()
    yield "marks"
    spanner.operator.tap("What to do?")
    spanner.page.locator(".answer-head").wait_for()
    yield "answer"


def fitting_pages(spanner: Spanner) -> Iterator[str]:
    """Steps of a new mesh; of those that differ by the side alone the first."""
    spanner.settle()
    for title in spanner.fit():
        if not title.endswith((" C", " B", " D", "2 of 2")):
            yield title


WALKS = {
    "small": tension_pages,
    "large": tension_pages,
    "printing": register_pages,
    "bare": fitting_pages,
}


@pytest.mark.parametrize("name", WALKS)
def test_no_page_of_a_walk_has_a_barrier(plan_operator: Any, plan_ids: Ids, name: str) -> None:
    """Four and sixteen bolts a side for tension; a screen under clamps for register; a new mesh."""
    plant = Plant(2, LAYOUTS[name], start_n_per_cm=15.0)
    spanner = Spanner(plan_operator, name, plan_ids["codes"][name], plant)
    assert judged.told(settled(WALKS[name](spanner), spanner), spanner.page) == ""


def settled(pages: Iterator[str], spanner: Spanner) -> Iterator[tuple[str, judged.Judge]]:
    for name in pages:
        spanner.page.wait_for_timeout(judged.SETTLE_MS)
        yield name, judged.findings
