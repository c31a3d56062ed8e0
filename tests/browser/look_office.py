"""Opens every page of the office once and saves a picture of it, for people to look at.

    python -m tests.browser.look_office FOLDER [--size 1280x900] [--dark] [--language de]

Starts the real server over the whole demo shop, in a temporary folder, signs in as its manager and
follows the links, one page for each route. Prints which pages are wider than the window and which
answered with an error. Build the pages first.
"""

import argparse
import os
import tempfile
from pathlib import Path
from urllib.parse import urlsplit

import django
from django.urls import Resolver404, resolve
from playwright.sync_api import Page, Playwright, sync_playwright

from tests.browser.chromium import Profile
from tests.browser.desk import Manager
from tests.browser.look_walk import prepared, told
from tests.browser.small_shop import PASSWORD
from tests.shop_process import ShopProcess

SETTLE_MS = 400
FILES = (".csv", ".ics", ".pdf", ".png", ".zip")
LINKS = "all => all.filter((a) => !a.download).map((a) => a.href)"
MANAGER = f"""
from django.contrib.auth.models import Group, User
user = User.objects.create_user("manager", password="{PASSWORD}")
user.groups.add(Group.objects.get_or_create(name="manager")[0])
print("MADE", user.username)
"""


def route(address: str, origin: str) -> str | None:
    """Which page of the office an address is, None if it is none."""
    parts = urlsplit(address)
    if f"{parts.scheme}://{parts.netloc}" != origin or not parts.path.startswith("/office/"):
        return None
    if parts.path.endswith(FILES) or parts.path.endswith("/sign-out/"):
        return None
    try:
        found = resolve(parts.path)
    except Resolver404:
        return None
    words = [found.kwargs[name] for name in ("slug", "kind") if name in found.kwargs]
    return "-".join([found.url_name or "", *words])


def walk(page: Page, origin: str, folder: Path) -> None:
    """Breadth first, so that each route is met by its plainest address."""
    waiting, seen = [f"{origin}/office/"], {"today"}
    while waiting:
        address = waiting.pop(0)
        answer = page.goto(address)
        page.wait_for_timeout(SETTLE_MS)
        name = route(address, origin) or "page"
        page.screenshot(path=folder / f"{name}.png", full_page=True)
        wide = page.evaluate("document.documentElement.scrollWidth > innerWidth")
        status = answer.status if answer else 0
        print(name, status if status != 200 else "", "wider than the window" if wide else "")
        for link in page.eval_on_selector_all("a[href]", LINKS):
            other = route(link, origin)
            if other and other not in seen:
                seen.add(other)
                waiting.append(link)


def look(playwright: Playwright, home: Path, folder: Path, language: str, how: dict) -> None:
    shop = prepared(ShopProcess(home / "data"))
    shop.manage("load_demo", "--full", "--verbosity", "0")
    shop.manage("derive")
    told(shop, MANAGER, "MADE")
    profile = Profile(playwright, home / "desk", **how)
    shop.start()
    try:
        profile.open()
        manager = Manager(profile, shop).sign_in()
        if language != "en":
            manager.page.locator(f"button[value={language}]").click()
            manager.page.locator(f"html[lang={language}]").wait_for(state="attached")
        walk(manager.page, shop.origin, folder)
    finally:
        profile.close()
        shop.stop()


def main() -> None:
    words = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    words.add_argument("folder", type=Path)
    words.add_argument("--size", default="1280x900")
    words.add_argument("--dark", action="store_true")
    words.add_argument("--language", default="en")
    given = words.parse_args()
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shopfloor.settings")
    django.setup()
    width, height = map(int, given.size.split("x"))
    how = {
        "viewport": {"width": width, "height": height},
        "color_scheme": "dark" if given.dark else "light",
    }
    given.folder.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as home, sync_playwright() as playwright:
        look(playwright, Path(home), given.folder, given.language, how)


if __name__ == "__main__":
    main()
