"""The press operator: does on the phone what a person does, and counts the taps."""

import re
import time
from pathlib import Path

from playwright.sync_api import Locator, Page, expect

from tests.browser.chromium import SLOW_MS, Profile
from tests.shop_process import ShopProcess

COOKIE = "__Host-tautbook_device"

# Keeps a store to itself, as a tab that is busy does, until it is let go.
HOLD = """(name) => new Promise((resolve) => {
  const open = indexedDB.open("tautbook");
  open.onsuccess = () => {
    const held = open.result.transaction(name, "readwrite").objectStore(name);
    let holding = true;
    const again = () => { if (holding) held.count().onsuccess = again; };
    again();
    window.letGo = () => { holding = false; open.result.close(); };
    resolve();
  };
})"""

# A transaction has its turn when those before it are through.
WRITTEN = """() => new Promise((resolve) => {
  const open = indexedDB.open("tautbook");
  open.onsuccess = () => {
    open.result.transaction("meta").objectStore("meta").count().onsuccess = () => {
      open.result.close();
      resolve();
    };
  };
})"""


class Operator:
    """Holds one phone. Every `tap` counts; typing into a field counts one tap for each key."""

    def __init__(self, profile: Profile, server: ShopProcess) -> None:
        self.profile, self.server = profile, server
        self.taps = 0

    @property
    def page(self) -> Page:
        return self.profile.page()

    def let_in(self, cookie: str) -> "Operator":
        """Open the app of an enrolled phone and wait until it holds the shop, also offline."""
        context = self.profile.context or self.profile.open()
        held = {"name": COOKIE, "value": cookie, "url": self.server.origin}
        # Without an end it would be gone when the browser closes.
        held["expires"] = time.time() + 86_400
        context.add_cookies([held | {"secure": True, "httpOnly": True, "sameSite": "Lax"}])
        self.open("/")
        self.wait_all_sent()
        self.wait_offline_ready()
        return self

    def open(self, path: str) -> None:
        self.page.goto(f"{self.server.origin}{path}")

    def wait_stored(self) -> None:
        """The store holds nothing that the server has not answered for."""
        for _ in range(SLOW_MS // 100):
            if set(self.outbox_states()) <= {"stored"}:
                return
            self.page.wait_for_timeout(100)
        raise AssertionError(f"still in the outbox: {self.outbox_states()}")

    def wait_all_sent(self) -> None:
        self.wait_stored()
        expect(self.sync_line).to_have_text(re.compile("all sent"))

    def wait_offline_ready(self) -> None:
        """The service worker is active and holds everything, the label reader too."""
        self.page.evaluate("navigator.serviceWorker.ready.then(() => true)")
        holds = """async () => {
          const held = await Promise.all((await caches.keys()).map(async (name) =>
            (await (await caches.open(name)).keys()).map((request) => request.url)));
          return held.flat().some((url) => url.includes("zxing_reader"));
        }"""
        self.until(holds, otherwise="the label reader was not fetched for offline use")

    def until(self, script: str, arg: object = None, *, otherwise: str) -> None:
        """Asks until the page says yes; `wait_for_function` would take its promise for a yes."""
        for _ in range(SLOW_MS // 100):
            if self.page.evaluate(script, arg):
                return
            self.page.wait_for_timeout(100)
        raise AssertionError(otherwise)

    @property
    def sync_line(self) -> Locator:
        return self.page.locator(".sync-line")

    def button(self, name: str) -> Locator:
        """The button of that name, whether or not it is ticked as chosen."""
        return self.page.get_by_role("button", name=re.compile(rf"^(✓ )?{re.escape(name)}$"))

    def tap(self, target: Locator | str) -> None:
        self.taps += 1
        (self.button(target) if isinstance(target, str) else target).click()

    def settle_context(self, *, lie: str = "Squeegee side up, A near you") -> None:
        """Say once who works, where and on what, as at the start of a day."""
        self.open("/#context")
        for name in ("Ines", "Press 1"):
            self.tap(name)
        self.tap("2")
        self.tap(self.page.get_by_role("button", name=re.compile("2611")))
        self.tap("Key black")
        self.lay(lie)
        self.tap("Done")
        self.page.evaluate(WRITTEN)

    def lay(self, lie: str) -> None:
        """Turn the drawing until it lies so."""
        face, near = re.fullmatch(r"(.* side up), (\w) near you", lie).groups()
        words = self.page.locator(".lie .quiet")
        if words.get_attribute("aria-expanded") == "false":
            self.tap(words)
        if face not in words.inner_text():
            self.tap("Turn over")
        for _ in range(4):
            if f"{near} near you" in words.inner_text():
                break
            self.tap("Turn a quarter")
        expect(words).to_contain_text(lie)

    def scan(self, code: str) -> None:
        """From home: Scan, and hold the label before the camera."""
        self.tap("Scan")
        self.at_card(code)

    def type_code(self, code: str) -> None:
        self.open("/#type")
        self.page.get_by_role("textbox").fill(code)
        self.tap("Open")
        self.at_card(code)

    def at_card(self, code: str) -> None:
        # A form of this frame is headed by its code too, and may still be saving.
        expect(self.page.locator("h1.code")).to_have_text(code)

    def tweak(self, *bolts: str, seen: str) -> None:
        """From the card: turn each bolt one step tighter, say what was seen, save."""
        self.tap("Tweak")
        for bolt in bolts:
            self.tap(self.page.locator(f"[data-bolt={bolt}]"))
        self.tap(seen)
        self.tap("Save")
        self.saw_saved("Tweak of")

    def set_check(self, *choices: str, lie: str = "") -> None:
        """On an open check: say how it is taken; it is remembered for the next."""
        setup = self.page.locator(".setup-line")
        if setup.get_attribute("aria-expanded") == "false":
            self.tap(setup)
        if lie:
            self.lay(lie)
        for choice in choices:
            self.tap(choice)
        self.tap("It lies like this")

    def check(self, *readings: str) -> None:
        """From the card: readings of two digits, each with ½ after it where wanted, then save."""
        self.tap("Check")
        for reading in readings:
            self.key_in(reading)
        self.tap(self.page.get_by_role("button", name=re.compile(r"^Save \d")))
        self.saw_saved("Check of")

    def key_in(self, reading: str) -> None:
        for key in reading:
            self.tap(self.page.locator(f".keypad [data-key='{key}']"))

    def saw_saved(self, words: str) -> None:
        # The hyphen of a code is one that does not break there.
        text = re.compile(re.escape(words).replace("\\-", "[-\u2011]"))
        notice = self.page.get_by_role("status").filter(has_text=text)
        expect(notice).to_be_visible()

    def outbox_states(self) -> list[str]:
        """States of what the phone has saved, read from its own store; `stored` are answered."""
        return self.page.evaluate("""() => new Promise((resolve, reject) => {
          const open = indexedDB.open("tautbook");
          open.onerror = () => reject(open.error);
          open.onsuccess = () => {
            const all = open.result.transaction("outbox").objectStore("outbox").getAll();
            all.onsuccess = () => {
              open.result.close();
              resolve(all.result.map((one) => one.state));
            };
          };
        })""")

    def hold(self, store: str) -> None:
        """Nothing is written to that part of the phone's storage until `let_go`."""
        self.page.evaluate(HOLD, store)

    def let_go(self) -> None:
        self.page.evaluate("letGo()")

    def photograph(self, to: Path) -> None:
        self.page.screenshot(path=to, full_page=True)
