"""Pages of plans, register, fitting: axe, light and dark, 320 px, text at 200 %, the keyboard."""

from collections.abc import Callable, Iterator
from typing import Any

import pytest
from playwright.sync_api import Page

from tests.browser import judged
from tests.browser.hand import SLOW_MS
from tests.browser.plan_shop import LAYOUTS
from tests.browser.spanner import Spanner
from tests.mechanics.plant import Plant

Ids = dict[str, Any]
Judge = Callable[[Page], list[str]]


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
    spanner.page.locator(".answer-head").wait_for(timeout=SLOW_MS)
    yield "answer"


def fitting_pages(spanner: Spanner) -> Iterator[str]:
    """Steps of a new mesh; of those that differ by the side alone the first."""
    spanner.settle()
    for title in spanner.fit():
        if not title.endswith((" C", " B", " D", "2 of 2")):
            yield title


def enlarged(page: Page) -> list[str]:
    judged.enlarge(page, 200)
    found = judged.lost(page)
    judged.enlarge(page, 100)
    return found


WALKS = {
    "small": tension_pages,
    "large": tension_pages,
    "printing": register_pages,
    "bare": fitting_pages,
}


@pytest.fixture(params=WALKS)
def pages(
    request: pytest.FixtureRequest, plan_operator: Any, plan_ids: Ids
) -> tuple[Page, Iterator[str]]:
    """Four and sixteen bolts a side for tension; a screen under clamps for register; a new mesh."""
    name = request.param
    plant = Plant(2, LAYOUTS[name], start_n_per_cm=15.0)
    spanner = Spanner(plan_operator, name, plan_ids["codes"][name], plant)
    return spanner.page, WALKS[name](spanner)


def collect(pages: Iterator[str], page: Page, judges: dict[str, Judge]) -> None:
    found = []
    for name in pages:
        page.wait_for_timeout(judged.SETTLE_MS)
        found += [
            f"{name}, {what}: {line}" for what, judge in judges.items() for line in judge(page)
        ]
    assert not found, "\n".join(found)


def in_the_dark(page: Page) -> list[str]:
    page.emulate_media(color_scheme="dark")
    found = judged.axe_findings(page)
    page.emulate_media(color_scheme="light")
    return found


def test_axe_and_the_keyboard_find_nothing(pages: tuple[Page, Iterator[str]]) -> None:
    page, walk = pages
    judges = {
        "axe": judged.axe_findings,
        "axe in the dark": in_the_dark,
        "keyboard": judged.keyboard_findings,
    }
    collect(walk, page, judges)


def test_a_narrow_phone_and_large_text_lose_nothing(pages: tuple[Page, Iterator[str]]) -> None:
    page, walk = pages
    page.set_viewport_size(judged.NARROW)
    collect(walk, page, {"narrow": judged.lost, "large text": enlarged})
