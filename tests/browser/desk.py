"""The manager at a desk: signs in, prints labels, lets phones in, looks at frames."""

import base64
import re
from datetime import UTC, datetime

from playwright.sync_api import Locator, Page, expect

from tests.browser.chromium import Profile
from tests.browser.small_shop import PASSWORD
from tests.shop_process import ShopProcess


class Manager:
    def __init__(self, profile: Profile, server: ShopProcess) -> None:
        self.profile, self.server = profile, server

    @property
    def page(self) -> Page:
        return self.profile.page()

    def open(self, path: str) -> None:
        self.page.goto(f"{self.server.origin}{path}")

    def sign_in(self) -> "Manager":
        self.open("/office/sign-in/")
        self.page.get_by_label("Username").fill("manager")
        self.page.get_by_label("Password").fill(PASSWORD)
        self.page.get_by_role("button", name="Sign in").click()
        self.page.wait_for_url("**/office/")
        return self

    def fetch(self, path: str) -> bytes:
        """What the browser gets from that address with the manager's cookies."""
        coded = self.page.evaluate(
            """async (path) => {
              const answer = await fetch(path);
              if (!answer.ok) throw new Error(`${path}: ${answer.status}`);
              const bytes = new Uint8Array(await answer.arrayBuffer());
              return btoa(bytes.reduce((text, byte) => text + String.fromCharCode(byte), ""));
            }""",
            path,
        )
        return base64.b64decode(coded)

    def print_labels(self, *frames: str) -> bytes:
        """The sheet as the printer gets it."""
        chosen = "&".join(f"frame={frame}" for frame in frames)
        return self.fetch(f"/office/labels/sheet.pdf?stock=A4&{chosen}")

    def log_rows(self, frame: str, told: str) -> Locator:
        """Rows of the frame's history whose text begins so."""
        self.open(f"/office/frames/{frame}/")
        lines = self.page.locator("table.log tbody tr")
        return lines.filter(has=self.page.locator(".told", has_text=re.compile(f"^{told}", re.I)))

    def sees_once(self, frame: str, told: str, at: str, who: str) -> None:
        """One row that says so, at that time (ISO) and by that person."""
        rows = self.log_rows(frame, told)
        expect(rows).to_have_count(1)
        expect(rows).to_contain_text(f"{datetime.fromisoformat(at).astimezone(UTC):%H:%M}")
        expect(rows).to_contain_text(who)

    def add_phone(self, label: str) -> bytes:
        """Invite a phone; a picture of the symbol on the screen."""
        self.add_phone_by_code(label)
        return self.page.locator(".qr").screenshot()

    def add_phone_by_code(self, label: str) -> str:
        """Invite a phone; the characters that can be typed instead of scanning."""
        self.open("/office/phones/add/")
        self.page.get_by_label("Name of the phone").fill(label)
        self.page.get_by_role("button", name="Show the code").click()
        return self.page.locator("section .code").inner_text()

    def let_in(self, number: str) -> None:
        self.page.get_by_label("The number on the phone").fill(number)
        self.page.get_by_role("button", name="Let it in").click()

    def change_phone(self, label: str, how: str) -> None:
        """`how`: Block, Retire or Take back, confirmed on the page that asks."""
        self.open("/office/phones/")
        self.page.get_by_role("link", name=f"{how} {label}").click()
        self.page.get_by_role("button", name=re.compile(f"^{how.split()[0]}")).click()
        self.page.wait_for_url("**/office/phones/")
