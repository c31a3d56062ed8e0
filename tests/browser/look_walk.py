"""A phone whose every screen is photographed, numbered in the order of the walk."""

import re
from pathlib import Path

from playwright.sync_api import Locator, expect

from tests.browser.chromium import Profile
from tests.browser.hand import Operator
from tests.shop_process import ShopProcess

SETTLE_MS = 350
OFFER = """
from django.contrib.auth import get_user_model
from shopfloor import auth
by, _ = get_user_model().objects.get_or_create(username="look", is_superuser=True)
print("CODE", auth.offer(by, "Looking phone", {"may_turn_with_stencil": True}).code)
"""
APPROVE = """
from django.contrib.auth import get_user_model
from shopfloor import auth
from shopfloor.models import Enrolment
by = get_user_model().objects.get(username="look")
auth.approve(Enrolment.objects.waiting().get(), "NUMBER", by)
"""


def prepared(shop: ShopProcess) -> ShopProcess:
    """With a data folder, tables and collected files, and nothing in its book."""
    shop.data.mkdir()
    shop.manage("migrate", "--verbosity", "0", "--no-input")
    shop.manage("collectstatic", "--verbosity", "0", "--no-input")
    return shop


def told(shop: ShopProcess, source: str, word: str) -> str:
    """What some lines, run in the shop, printed after a word."""
    lines = [one for one in shop.python(source).splitlines() if word in one]
    return lines[-1].split(word, 1)[1].strip()


class Walk(Operator):
    """An operator who looks: pictures go into a folder, what is too wide or scrolls is printed."""

    def __init__(self, profile: Profile, server: ShopProcess, folder: Path) -> None:
        super().__init__(profile, server)
        self.folder = folder
        self.pictures = 0

    def open(self, path: str) -> None:
        # A reload, also where only the fragment differs.
        self.page.goto("about:blank")
        super().open(path)
        self.page.locator("main").wait_for()
        self.page.wait_for_timeout(SETTLE_MS)

    def part(self, name: str) -> Locator:
        """The first button that has these words in its name."""
        return self.page.get_by_role("button", name=name).first

    def bolt(self, name: str) -> None:
        if self.page.locator(f"[data-bolt={name}]").count() == 0:
            self.tap(self.part(f"Side {name[0]}"))
        self.tap(self.page.locator(f"[data-bolt={name}]").first)

    def point(self, u: float, v: float) -> None:
        """Tap the mesh of the marks' drawing, from its near left corner."""
        mesh = self.page.locator(".marks .fd-points")
        box = mesh.bounding_box()
        mesh.click(position={"x": u * box["width"], "y": (1 - v) * box["height"]})

    def see(self, name: str) -> None:
        """The screen as a person has it, and the whole page where there is more of it."""
        self.page.wait_for_timeout(SETTLE_MS)
        self.pictures += 1
        stem = f"{self.pictures:03}-{name}"
        self.page.evaluate("scrollTo(0, 0)")
        self.page.screenshot(path=self.folder / f"{stem}.png")
        tall = self.page.evaluate("document.documentElement.scrollHeight - innerHeight")
        if tall > 4:
            print(f"{stem}: {tall} px more than the screen")
            # It would lie across the middle of a picture of the whole page.
            bottom = self.page.locator(".bottom")
            bottom.evaluate("(one) => { one.style.position = 'static' }")
            self.page.screenshot(path=self.folder / f"{stem}-whole.png", full_page=True)
            bottom.evaluate("(one) => { one.style.position = '' }")
        wide = self.page.evaluate("document.documentElement.scrollWidth - innerWidth")
        if wide > 0:
            print(f"{stem}: {wide} px wider than the screen")

    def come_in(self) -> None:
        """Let this phone in as a manager and a person would, by typed characters."""
        self.open("/")
        self.see("home-not-enrolled")
        code = told(self.server, OFFER, "CODE")
        self.open("/#enrol")
        self.see("enrol-scan")
        self.tap("Type eight characters instead")
        self.page.get_by_role("textbox").fill(code.lower())
        self.see("enrol-typed")
        self.tap("Go on")
        self.page.locator(".claim-number").wait_for()
        self.see("enrol-number")
        number = self.page.locator(".claim-number").inner_text()
        self.server.python(APPROVE.replace("NUMBER", number))
        self.page.get_by_role("heading", name="Who and where").wait_for()
        expect(self.sync_line).to_have_text(re.compile("all sent"))
        self.wait_offline_ready()
