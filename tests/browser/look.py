"""Walks every screen of the phone app and saves a picture of each, for people to look at.

    python -m tests.browser.look FOLDER [--size 390x844] [--dark] [--only WALK]

Starts the real server on its own port over the demo shop, and over one whose frames can be turned,
each in a temporary folder, enrols a phone as a manager and a phone would, and taps its way through.
Prints which pages are longer or wider than the screen, and how many taps a tweak and a five-spot
check took. Build the pages first.
"""

import argparse
import tempfile
from collections.abc import Callable
from pathlib import Path

from playwright.sync_api import Playwright, sync_playwright

from tests.browser import plan_shop
from tests.browser.chromium import Profile, trust
from tests.browser.look_rounds import walk_fitting, walk_register, walk_rounds
from tests.browser.look_shop import find, walk_shop
from tests.browser.look_trouble import walk_trouble
from tests.browser.look_walk import Walk, prepared
from tests.shop_process import ShopProcess

Told = dict[str, str]


def demo(shop: ShopProcess) -> Told:
    shop.manage("load_demo", "--verbosity", "0")
    shop.manage("derive")
    return find(shop)


def plant(shop: ShopProcess) -> Told:
    """A shop whose frames can be turned: their codes."""
    return plan_shop.furnish(shop)["codes"]


WALKS: dict[str, tuple[Callable[[ShopProcess], Told], Callable[[Walk, Told], None]]] = {
    "shop": (demo, walk_shop),
    "rounds": (plant, walk_rounds),
    "register": (plant, walk_register),
    "fitting": (plant, walk_fitting),
    "trouble": (plant, walk_trouble),
}


def look(playwright: Playwright, home: Path, folder: Path, which: str, how: dict) -> None:
    shop = prepared(ShopProcess(home / "data", host="shop.test", secure=True))
    furnish, walk_it = WALKS[which]
    found = furnish(shop)
    profile = Profile(playwright, home / "phone", **how)
    shop.start()
    try:
        trust(profile.home, shop.data / "authority/authority.pem")
        page = profile.open().pages[0]
        page.on("pageerror", lambda error: print("page error:", error))
        walk = Walk(profile, shop, folder)
        walk.come_in()
        walk_it(walk, found)
    except Exception:
        profile.page().screenshot(path=folder / "stopped-here.png", full_page=True)
        raise
    finally:
        profile.close()
        shop.stop()


def main() -> None:
    words = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    words.add_argument("folder", type=Path)
    words.add_argument("--size", default="390x844")
    words.add_argument("--dark", action="store_true")
    words.add_argument("--only", choices=WALKS)
    given = words.parse_args()
    width, height = map(int, given.size.split("x"))
    how = {
        "viewport": {"width": width, "height": height},
        "has_touch": True,
        "is_mobile": True,
        "permissions": ["camera"],
        "color_scheme": "dark" if given.dark else "light",
    }
    for which in [given.only] if given.only else WALKS:
        folder = given.folder / which
        folder.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory() as home, sync_playwright() as playwright:
            look(playwright, Path(home), folder, which, how)


if __name__ == "__main__":
    main()
