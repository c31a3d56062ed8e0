"""Walks every screen of the phone app and saves a picture of each, for people to look at.

    python -m tests.browser.look FOLDER [--data FOLDER] [--size 390x844] [--dark]

Starts the real server on its own port over the demo shop in a temporary folder (or over a copy of
the data folder that is given), enrols a phone as a manager and a phone would, and taps its way
through. Prints how many taps a tweak and a five-spot check took. Build the pages first.
"""

import argparse
import json
import shutil
import tempfile
from pathlib import Path

from playwright.sync_api import Page, sync_playwright

from tests.browser.chromium import FLAGS, executable
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
# The fullest frame on a press, one with no mesh, one with the most bolts, a job and its colour.
FIND = """
import json
from frames.models import Colour, Entry, Frame, FrameState, ScreenState
live = [s for s in ScreenState.objects.filter(ended_at=None) if s.body["job"]]
told = lambda s: Entry.objects.of_frame(s.body["frame"]).count()
live.sort(key=lambda s: (len(s.body["tweaks"]["open"]), told(s)))
best = live[-1].body
state = FrameState.objects.get(pk=best["frame"]).body
have = set(FrameState.objects.exclude(screen=None).values_list("frame", flat=True))
bolts = lambda f: sum(map(len, f.bolts.values()))
frames = list(Frame.objects.filter(retired=False))
print("FOUND", json.dumps({
    "code": Frame.objects.get(pk=best["frame"]).code,
    "press": (state["place"] or {}).get("press"),
    "bare": next((f.code for f in frames if f.pk not in have), None),
    "big": max(frames, key=bolts).code,
    "job": Colour.objects.get(pk=best["colour"]).job.number,
    "colour": Colour.objects.get(pk=best["colour"]).name,
}))
"""
PRESS = 'from frames.models import Press; print("PRESS", Press.objects.get(pk="ID").name)'


def told(shop: ShopProcess, source: str, word: str) -> str:
    lines = [one for one in shop.python(source).splitlines() if word in one]
    return lines[-1].split(word, 1)[1].strip()


class Walk:
    """One phone, its taps counted, its pictures numbered in the order of the walk."""

    def __init__(self, page: Page, folder: Path, shop: ShopProcess) -> None:
        self.page, self.folder, self.shop = page, folder, shop
        self.taps = self.pictures = 0

    def open(self, address: str) -> None:
        self.page.goto("about:blank")
        self.page.goto(self.shop.origin + address)
        self.page.locator("main").wait_for()
        self.page.wait_for_timeout(SETTLE_MS)

    def tap(self, name: str, *, exact: bool = True) -> None:
        self.page.get_by_role("button", name=name, exact=exact).first.click()
        self.taps += 1

    def key(self, keys: str) -> None:
        for key in keys.replace("½", "½" if self.page.locator("[data-key='½']").count() else ""):
            self.page.locator(f".keypad [data-key='{key}']").click()
            self.taps += 1

    def bolt(self, name: str) -> None:
        if self.page.locator(f"[data-bolt={name}]").count() == 0:
            self.tap(f"Side {name[0]}", exact=False)
        self.page.locator(f"[data-bolt={name}]").first.click()
        self.taps += 1

    def see(self, name: str) -> None:
        """The screen as a person has it, and the whole page where there is more of it."""
        self.page.wait_for_timeout(SETTLE_MS)
        self.pictures += 1
        stem = f"{self.pictures:02}-{name}"
        self.page.screenshot(path=self.folder / f"{stem}.png")
        tall = self.page.evaluate("document.documentElement.scrollHeight - innerHeight")
        if tall > 4:
            self.page.screenshot(path=self.folder / f"{stem}-whole.png", full_page=True)
        wide = self.page.evaluate("document.documentElement.scrollWidth - innerWidth")
        if wide > 0:
            print(f"{stem}: {wide} px wider than the screen")


def come_in(walk: Walk) -> None:
    walk.open("/")
    walk.see("home-not-enrolled")
    code = told(walk.shop, OFFER, "CODE")
    walk.open("/#enrol")
    walk.see("enrol-scan")
    walk.tap("Type eight characters instead")
    walk.page.get_by_role("textbox").fill(code.lower())
    walk.see("enrol-typed")
    walk.tap("Go on")
    walk.page.locator(".claim-number").wait_for()
    walk.see("enrol-number")
    number = walk.page.locator(".claim-number").inner_text()
    walk.shop.python(APPROVE.replace("NUMBER", number))
    walk.page.get_by_role("heading", name="Who and where").wait_for()
    walk.page.locator(".sync-line", has_text="all sent").wait_for(timeout=60_000)


def say_context(walk: Walk, found: dict[str, str]) -> None:
    walk.see("context-room")
    walk.page.locator(".choice", has_text="Who").locator(".option").nth(1).click()
    walk.tap(told(walk.shop, PRESS.replace("ID", found["press"]), "PRESS"))
    walk.page.locator(".choice", has_text="Station").locator(".option").nth(2).click()
    walk.tap(found["job"], exact=False)
    walk.tap(found["colour"])
    walk.see("context-press")
    walk.tap("Done")
    walk.see("home-empty")


def find_frames(walk: Walk, found: dict[str, str]) -> None:
    walk.open("/#scan")
    walk.page.wait_for_timeout(1500)
    walk.see("scan")
    walk.open("/#type")
    walk.page.get_by_role("textbox").fill("f0417")
    walk.tap("Open")
    walk.see("type-wrong")
    walk.open("/#pick")
    walk.see("pick")
    walk.open("/f/F9999-0")
    walk.see("unknown-frame")
    for code in (found["big"], found["bare"], found["code"]):
        if code:
            walk.open(f"/f/{code}")
            walk.see(f"card-{code}")
    walk.open("/")
    walk.see("home")


def tweak(walk: Walk, code: str) -> None:
    walk.open(f"/f/{code}")
    walk.taps = 1  # Scan; the label is read without a tap
    walk.tap("Tweak")
    walk.see("tweak")
    for bolt in ("C2", "C2", "C3"):
        walk.bolt(bolt)
    walk.tap("One corner")
    walk.see("tweak-filled")
    walk.tap("Save")
    print(f"tweak: {walk.taps} taps from scan to saved")
    walk.see("tweak-saved")
    walk.tap("Undo")
    walk.see("undone")


def check(walk: Walk, code: str) -> None:
    walk.open(f"/f/{code}#check")
    walk.see("check-first-time")
    if not walk.page.get_by_role("button", name="It lies like this").is_visible():
        walk.page.locator(".setup-line").click()
    walk.tap("Five spots")
    walk.page.locator(".choice", has_text="Meter").locator(".option").first.click()
    walk.see("check-setup")
    walk.tap("It lies like this")
    walk.open(f"/f/{code}")
    walk.taps = 1
    walk.tap("Check")
    walk.see("check")
    walk.key("21½222")
    walk.see("check-typing")
    walk.key("114")
    walk.see("check-odd-one")
    walk.tap("Read again")
    walk.taps -= 3
    walk.key("21½22")
    walk.key("21½20½2122")
    walk.key("22½21½")
    walk.see("check-done")
    walk.page.get_by_role("button", name="Save 10 of 10").click()
    walk.taps += 1
    print(f"five-spot check, ten readings: {walk.taps} taps")
    walk.see("check-saved")


def forms(walk: Walk, code: str, bare: str | None) -> None:
    walk.open(f"/f/{code}#more")
    walk.see("more")
    kinds = ["burst", "moved", "impressions", "note", "coated", "exposed", "inspected", "washed"]
    kinds += ["reclaimed", "target_set", "mesh_removed", "bolt_state", "stand_out", "meter_zeroed"]
    for kind in kinds:
        walk.open(f"/f/{code}#form/{kind}")
        walk.see(f"form-{kind}")
    for purpose in ("stretch", "even_up", "nipped_up"):
        walk.open(f"/f/{code}#turns/{purpose}")
        walk.see(f"turns-{purpose}")
    walk.open(f"/f/{bare or code}#form/mesh_fitted")
    walk.page.get_by_role("textbox").first.fill("")
    walk.tap("Save")
    walk.see("form-mesh_fitted")


def plans(walk: Walk, code: str) -> None:
    for page in ("plan/tension", "plan/even_up", "register"):
        walk.open(f"/f/{code}#{page}")
        walk.page.get_by_text("Working it out").wait_for(state="detached")
        walk.see(page.replace("/", "-"))
    walk.tap("Yes, three")
    mesh = walk.page.locator(".marks .fd-points")
    for place, way in ((40, "left"), (160, "right")):
        mesh.click(position={"x": place, "y": 50})
        walk.tap(f"printed {way}")
    walk.see("register-marks")
    walk.tap("What to do?")
    walk.page.locator(".answer-head").wait_for()
    walk.see("register-answer")


def marks(walk: Walk, code: str) -> None:
    walk.open(f"/f/{code}")
    walk.page.get_by_role("button", name="After marks?").first.click()
    walk.tap("Better")
    walk.page.locator("summary").click()
    mesh = walk.page.locator(".marks .fd-points")
    mesh.click(position={"x": 40, "y": 40})
    walk.tap("printed away right")
    box = mesh.bounding_box()
    mesh.click(position={"x": box["width"] - 40, "y": box["height"] - 30})
    walk.tap("printed left")
    walk.tap("more")
    walk.see("after-marks")


def log(walk: Walk, code: str) -> None:
    walk.open(f"/f/{code}#history")
    walk.page.wait_for_timeout(600)
    walk.see("history")
    walk.page.locator(".event", has_text="Check").first.click()
    walk.see("entry-check")
    walk.tap("Put right")
    walk.see("fix-check")
    walk.open(f"/f/{code}#form/note")
    walk.page.get_by_role("textbox").fill("Edge tape renewed.")
    walk.tap("Save")
    walk.open(f"/f/{code}#history")
    walk.page.locator(".event", has_text="Edge tape").first.click()
    walk.tap("Undo", exact=False)
    walk.see("entry-undo")
    walk.tap("Keep it")
    walk.tap("It was another frame")
    walk.see("entry-other-frame")
    walk.tap("Leave it")
    walk.tap("It was another time")
    walk.see("entry-other-time")
    walk.open(f"/f/{code}#tweak")
    walk.bolt("C2")
    walk.open("/")
    walk.see("home-unfinished")


def places(walk: Walk, code: str, big: str) -> None:
    walk.open("/#many")
    walk.page.wait_for_timeout(800)
    walk.see("many")
    walk.open("/#shift")
    walk.see("shift")
    walk.open("/#sums")
    walk.page.wait_for_timeout(600)
    walk.see("sums")
    for name in ("weave", "stress", "piece", "target", "side", "prebow", "gap", "register"):
        walk.open(f"/f/{code}#sums/{name}")
        walk.see(f"sum-{name}")
    walk.open(f"/f/{big}#tweak")
    walk.see("tweak-many-bolts")
    walk.page.context.set_offline(True)
    walk.open(f"/f/{code}#form/note")
    walk.page.get_by_role("textbox").fill("Squeegee changed to 75 shore.")
    walk.tap("Save")
    walk.page.wait_for_timeout(1500)
    walk.open("/#outbox")
    walk.see("outbox-waiting")
    walk.page.context.set_offline(False)
    walk.tap("Send now")
    walk.page.wait_for_timeout(1500)
    walk.see("outbox-sent")


def prepare(data: Path, given: Path | None) -> ShopProcess:
    if given:
        shutil.copytree(given, data, dirs_exist_ok=True)
    shop = ShopProcess(data)
    shop.manage("migrate", "--verbosity", "0", "--no-input")
    if not given:
        shop.manage("load_demo")
    shop.manage("collectstatic", "--verbosity", "0", "--no-input")
    return shop.start()


def walk_all(walk: Walk) -> None:
    found = json.loads(told(walk.shop, FIND, "FOUND"))
    code = found["code"]
    come_in(walk)
    say_context(walk, found)
    find_frames(walk, found)
    check(walk, code)
    tweak(walk, code)
    forms(walk, code, found["bare"])
    plans(walk, code)
    marks(walk, code)
    log(walk, code)
    places(walk, code, found["big"])


def main() -> None:
    words = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    words.add_argument("folder", type=Path)
    words.add_argument("--data", type=Path)
    words.add_argument("--size", default="390x844")
    words.add_argument("--dark", action="store_true")
    told_ = words.parse_args()
    told_.folder.mkdir(parents=True, exist_ok=True)
    width, height = map(int, told_.size.split("x"))
    with tempfile.TemporaryDirectory() as data, sync_playwright() as playwright:
        shop = prepare(Path(data) / "data", told_.data)
        try:
            browser = playwright.chromium.launch(executable_path=executable(playwright), args=FLAGS)
            context = browser.new_context(
                viewport={"width": width, "height": height},
                locale="en-GB",
                has_touch=True,
                color_scheme="dark" if told_.dark else "light",
                permissions=["camera"],
            )
            context.set_default_timeout(15_000)
            page = context.new_page()
            page.on("pageerror", lambda error: print("page error:", error))
            page.on("console", lambda line: line.type == "error" and print("console:", line.text))
            walk_all(Walk(page, told_.folder, shop))
            browser.close()
        finally:
            shop.stop()


if __name__ == "__main__":
    main()
