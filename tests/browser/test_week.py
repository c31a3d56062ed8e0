"""A week in a shop, by a phone and a desk: six colours from the list to the month-end sheet."""

import re
import shutil
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import expect

from tests.browser import week_shop
from tests.browser.chromium import DESK, PHONE
from tests.browser.conftest import Furnished, ProfileMaker
from tests.browser.desk import Manager
from tests.browser.hand import Operator
from tests.browser.small_shop import entries_of
from tests.conftest import ServerMaker
from tests.shop_process import ShopProcess

Ids = dict[str, Any]
SET, CARRY = slice(0, 6), slice(6, 9)


@pytest.fixture(scope="module")
def week(bare_data: Path, tmp_path_factory: pytest.TempPathFactory) -> Furnished:
    data = tmp_path_factory.mktemp("week") / "data"
    shutil.copytree(bare_data, data)
    return Furnished(data, week_shop.furnish(ShopProcess(data, host="shop.test", secure=True)))


class Week:
    """Ines on the floor and the manager at the desk, one server between them."""

    def __init__(self, operator: Operator, manager: Manager, ids: Ids) -> None:
        self.operator, self.manager, self.ids = operator, manager, ids
        self.codes = ids["codes"]

    @property
    def page(self) -> Any:
        return self.operator.page

    def form(self, code: str, kind: str, *choices: str, **typed: str) -> None:
        """One plain form about one frame."""
        self.operator.open(f"/f/{code}#form/{kind}")
        for choice in choices:
            self.choose(choice)
        for label, text in typed.items():
            self.page.get_by_label(label.replace("_", " ")).fill(text)
        self.saved(code)

    def saved(self, code: str) -> None:
        """Saved, and back at the card: a form's head bears the code too."""
        self.operator.tap("Save")
        expect(self.page.locator("h1.code")).to_have_text(code)

    def choose(self, words: str) -> None:
        """An option by its words; what it stands for may follow them."""
        said = self.page.locator("span", has_text=re.compile(rf"^{re.escape(words)}$"))
        self.operator.tap(self.page.locator(".option").filter(has=said))

    def many(self, what: str, codes: list[str], *choices: str) -> None:
        """Frame after frame onto the list, then one word for all of them."""
        self.operator.open("/#many")
        for code in codes:
            self.page.get_by_label("Or type a code").fill(code)
            self.operator.tap("Add")
            expect(
                self.page.get_by_role("button", name=f"Take {code} off the list")
            ).to_be_visible()
        for choice in (what, *choices):
            self.choose(choice)

    def many_saved(self, what: str, count: int) -> None:
        self.operator.tap(f"Save for {count} frames")
        self.operator.saw_saved(f"{what}: {count} frames")

    def desk_says(self, path: str, *words: str) -> None:
        self.operator.wait_stored()
        self.manager.open(path)
        for one in words:
            expect(self.manager.page.locator("main")).to_contain_text(one)


@pytest.fixture
def story(open_server: ServerMaker, open_profile: ProfileMaker, week: Furnished) -> Week:
    server = open_server(week.data, host="shop.test", secure=True)
    phone = open_profile(server, viewport=PHONE, has_touch=True, is_mobile=True)
    operator = Operator(phone, server).let_in(week.ids["cookies"][0])
    operator.open("/#context")
    for name in ("Ines", "Line 6"):
        operator.tap(name)
    operator.tap("Done")
    manager = Manager(open_profile(server, viewport=DESK), server).sign_in()
    return Week(operator, manager, week.ids)


def test_a_week(story: Week) -> None:
    monday(story)
    setting_up(story)
    two_o_clock(story)
    burst(story)
    shift_end(story)
    reclaiming(story)
    month_end(story)


def monday(story: Week) -> None:
    """The list asks for six; a mesh is fitted, six frames are coated and exposed at once."""
    story.desk_says("/office/screen-room/", "77 T", "2700 Yellow", "no screen exposed yet")
    bare = story.codes[-1]
    story.form(bare, "mesh_fitted", "77 T", "Along A")
    six = story.codes[SET]
    story.many("Coated", six)
    story.many_saved("Coated", 6)
    story.many("Exposed", six, "2700")
    expect(story.page.get_by_text("3 Cyan")).to_be_visible()
    story.many_saved("Exposed", 6)
    for code in six:
        story.form(code, "inspected", "Good to print")
    story.desk_says("/office/screen-room/", "2700 Yellow", "ready")


def setting_up(story: Week) -> None:
    """Six colours onto six stations; the OK sheet is signed."""
    for station, code in enumerate(story.codes[SET], 1):
        story.form(code, "moved", "Press", "Line 6", str(station))
    story.form(story.codes[3], "ok_sheet", "Signed", "All colours")
    job = f"/office/jobs/{story.ids['job']}/"
    story.desk_says(job, *story.codes[SET], "Line 6, station 6", "signed")


def two_o_clock(story: Week) -> None:
    """Cyan is out of register; two bolts bring it back."""
    cyan = story.codes[2]
    story.operator.open(f"/f/{cyan}")
    story.operator.tweak("B2", "B3", seen="Long or short")
    story.operator.open(f"/f/{cyan}")
    story.operator.tap(story.page.locator(".foot").get_by_text("After marks?"))
    story.operator.tap("In register")
    story.saved(cyan)
    story.desk_says(f"/office/frames/{story.ids['frames'][2]}/", "long or short", "in register")


def burst(story: Week) -> None:
    """Gold bursts at 2,300 of 5,000: which job is at risk, and which frame could follow."""
    gold = story.codes[4]
    story.operator.open(f"/f/{gold}#form/burst")
    expect(story.page.get_by_text("At risk:")).to_be_visible()
    free = re.compile("|".join(story.codes[6:12]))
    expect(story.page.locator("p", has_text="Could follow:")).to_contain_text(free)
    story.operator.tap("Middle")
    story.page.get_by_label("At how many impressions").fill("2300")
    story.saved(gold)
    story.desk_says("/office/", "Burst", gold, "2700")


def shift_end(story: Week) -> None:
    """One number for the whole set, and a word for the next shift."""
    story.operator.open("/#shift")
    story.page.get_by_label(re.compile("^2700")).fill("2300")
    story.operator.tap(story.page.get_by_role("button", name="Save", exact=True).first)
    story.operator.saw_saved("Counter of 2700")
    story.page.get_by_label("Note for the next shift").fill("Gold burst, F0810 follows.")
    story.operator.tap("Save the note")
    story.operator.saw_saved("Note for the next shift")


def reclaiming(story: Week) -> None:
    """Twelve frames are reclaimed; three carry turns of an older job, cyan those of Tuesday."""
    twelve = [code for i, code in enumerate(story.codes) if i != 4]
    story.many("Reclaimed", twelve)
    note = story.page.locator(".note", has_text="Turns still in")
    for code in (*story.codes[CARRY], story.codes[2]):
        expect(note).to_contain_text(code)
    expect(note.locator("li")).to_have_count(4)
    story.many_saved("Reclaimed", 12)
    story.operator.wait_stored()
    kinds = [one["kind"] for one in entries_of(story.operator.server)]
    assert kinds.count("reclaimed") == 12


def month_end(story: Week) -> None:
    """The job sheet tells all of it, who and when, and the figures say what register cost."""
    sheet = f"/office/jobs/{story.ids['job']}/sheet/"
    story.desk_says(
        sheet, "Job 2700", "OK sheet", "Burst in the middle", "2,300", "Reclaimed", "Ines"
    )
    story.desk_says("/office/figures/", "1 tweak")
