"""Chromium as a phone or a desk: own profile, the shop's authority trusted, a picture camera."""

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from playwright.sync_api import BrowserContext, Page, Playwright, expect

PHONE = {"width": 390, "height": 844}
DESK = {"width": 1280, "height": 900}
# A machine that is busy with other tests takes its time, and a browser asks for a new version of an
# app only when its pages have been quiet for a while.
SLOW_MS = 60_000
NAMES = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable")
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--host-resolver-rules=MAP shop.test 127.0.0.1",
    "--use-fake-device-for-media-stream",
    "--use-fake-ui-for-media-stream",
]

expect.set_options(timeout=SLOW_MS)


def executable(playwright: Playwright) -> str:
    """A chromium of this machine, else Playwright's own, fetched if it can be."""
    for name in NAMES:
        if found := shutil.which(name):
            return found
    own = playwright.chromium.executable_path
    if not Path(own).exists():
        command = [sys.executable, "-m", "playwright", "install", "chromium"]
        subprocess.run(command, capture_output=True, timeout=600)
    if not Path(own).exists():
        pytest.fail(
            "No Chromium: the browser tests need one. On Debian: apt-get install chromium; "
            "elsewhere: python -m playwright install chromium"
        )
    return own


def trust(home: Path, authority: Path) -> None:
    """Put the authority's certificate where Chromium on Linux looks: the NSS store of its home."""
    if not shutil.which("certutil"):
        pytest.fail("No certutil: on Debian apt-get install libnss3-tools")
    store = home / ".pki/nssdb"
    store.mkdir(parents=True, exist_ok=True)
    database = ["certutil", "-d", f"sql:{store}"]
    subprocess.run([*database, "-N", "--empty-password"], check=True)
    words = ["-A", "-n", "Tautbook", "-t", "C,,", "-i", str(authority)]
    subprocess.run([*database, *words], check=True)


class Profile:
    """One phone or desk that can be closed and opened again with all it has stored."""

    def __init__(self, playwright: Playwright, home: Path, **how: object) -> None:
        self.playwright, self.home, self.how = playwright, home, how
        self.camera: Path | None = None
        self.context: BrowserContext | None = None
        self.errors: list[str] = []
        home.mkdir(parents=True, exist_ok=True)

    def open(self) -> BrowserContext:
        camera = [f"--use-file-for-fake-video-capture={self.camera}"] if self.camera else []
        self.context = self.playwright.chromium.launch_persistent_context(
            str(self.home / "profile"),
            executable_path=executable(self.playwright),
            args=[*FLAGS, *camera],
            # Chromium finds its store of certificates by its home folder.
            env={**os.environ, "HOME": str(self.home)},
            **{"viewport": PHONE, "locale": "en-GB", **self.how},
        )
        self.context.set_default_timeout(SLOW_MS)
        self.context.on("weberror", lambda error: self.errors.append(str(error.error)))
        return self.context

    def page(self) -> Page:
        """A page, opening the browser if it is closed."""
        context = self.context or self.open()
        return context.pages[0] if context.pages else context.new_page()

    def close(self) -> None:
        if self.context:
            self.context.close()
            self.context = None

    def last_look(self, picture: Path) -> list[tuple[str, str]]:
        """What the page shows now, as text and as a picture; for the report of a failure."""
        if not self.context or not self.context.pages:
            return []
        page = self.context.pages[0]
        page.screenshot(path=picture, full_page=True)
        text = page.locator("body").inner_text()
        return [(f"page at {page.url}", f"{text}\n(pictured in {picture})")]
