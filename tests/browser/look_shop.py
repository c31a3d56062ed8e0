"""The walk through a shop at work: finding frames, tweak and check, forms, log, sums, the shift."""

import json

from tests.browser.look_walk import Walk, told
from tests.shop_process import ShopProcess

# The fullest frame on a press, one with no mesh, one with the most bolts, a job and its colour.
FIND = """
import json
from frames.models import Colour, Entry, Frame, FrameState, Press, ScreenState
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
    "press": Press.objects.get(pk=(state["place"] or {}).get("press")).name,
    "bare": next((f.code for f in frames if f.pk not in have), None),
    "big": max(frames, key=bolts).code,
    "job": Colour.objects.get(pk=best["colour"]).job.number,
    "colour": Colour.objects.get(pk=best["colour"]).name,
}))
"""
# fmt: off
FORMS = (
    "burst", "moved", "impressions", "note", "coated", "exposed", "inspected", "washed",
    "reclaimed", "target_set", "mesh_removed", "bolt_state", "stand_out", "meter_zeroed",
    "cause_found", "ok_sheet",
)
# fmt: on
PURPOSES = ("stretch", "retension", "register", "even_up", "nipped_up")
SUMS = ("weave", "stress", "piece", "target", "side", "prebow", "gap", "register")
MARKED = ((0.2, 0.8, "away right"), (0.8, 0.2, "left"))


def say_context(walk: Walk, found: dict[str, str]) -> None:
    walk.see("context-room")
    walk.page.locator(".choice", has_text="Who").locator(".option").nth(1).click()
    walk.tap(walk.part(found["press"]))
    walk.page.locator(".choice", has_text="Station").locator(".option").nth(2).click()
    walk.tap(walk.part(found["job"]))
    walk.tap(walk.part(found["colour"]))
    walk.see("context-press")
    walk.tap("Done")
    walk.see("home-empty")


def find_frames(walk: Walk, found: dict[str, str]) -> None:
    walk.open("/#scan")
    walk.page.wait_for_timeout(1500)
    walk.see("scan")
    walk.open("/#type")
    walk.see("type")
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
    if not walk.button("It lies like this").is_visible():
        walk.page.locator(".setup-line").click()
    walk.tap("Five spots")
    walk.page.locator(".choice", has_text="Meter").locator(".option").first.click()
    walk.see("check-setup")
    walk.tap("It lies like this")
    walk.open(f"/f/{code}")
    walk.taps = 1
    walk.tap("Check")
    walk.see("check")
    walk.key_in("21½222")
    walk.see("check-typing")
    walk.key_in("114")
    walk.see("check-odd-one")
    walk.tap("Read again")
    walk.taps -= 3
    walk.key_in("21½2221½20½212222½")
    walk.see("check-done")
    walk.tap(walk.part("Save 10 of 10"))
    print(f"five-spot check, ten readings: {walk.taps} taps")
    walk.see("check-saved")


def forms(walk: Walk, code: str, bare: str | None) -> None:
    walk.open(f"/f/{code}#more")
    walk.see("more")
    for kind in FORMS:
        walk.open(f"/f/{code}#form/{kind}")
        walk.see(f"form-{kind}")
    for purpose in PURPOSES:
        walk.open(f"/f/{code}#turns/{purpose}")
        walk.see(f"turns-{purpose}")
    walk.open(f"/f/{bare or code}#form/mesh_fitted")
    walk.page.get_by_role("textbox").first.fill("")
    walk.tap("Save")
    walk.see("form-mesh_fitted")


def marks(walk: Walk, code: str) -> None:
    walk.open(f"/f/{code}")
    walk.tap(walk.part("After marks?"))
    walk.see("after-marks")
    walk.tap("Better")
    walk.page.locator("summary").click()
    for u, v, way in MARKED:
        walk.point(u, v)
        walk.tap(walk.part(f"printed {way}"))
    walk.tap("more")
    walk.see("after-marks-told")


def register_asked(walk: Walk, code: str) -> None:
    """What changed since the OK sheet of the job, which is signed first."""
    walk.open(f"/f/{code}#form/ok_sheet")
    walk.tap("Signed")
    walk.tap("Save")
    walk.saw_saved("OK sheet")
    walk.open(f"/f/{code}#register")
    walk.see("register-nothing-changed")
    walk.open(f"/f/{code}#tweak")
    walk.bolt("C2")
    walk.tap("Save")
    walk.saw_saved("Tweak of")
    walk.open(f"/f/{code}#form/note")
    walk.page.get_by_role("textbox").fill("Squeegee changed to 75 shore.")
    walk.tap("Save")
    walk.saw_saved(code)
    walk.open(f"/f/{code}#register")
    walk.see("register-changed-since")


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
    walk.saw_saved(code)
    walk.open(f"/f/{code}#history")
    walk.page.locator(".event", has_text="Edge tape").first.click()
    walk.tap(walk.part("Undo"))
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


def many(walk: Walk, codes: list[str]) -> None:
    walk.open("/#many")
    walk.page.wait_for_timeout(800)
    walk.see("many")
    for code in codes:
        walk.page.get_by_role("textbox").first.fill(code)
        walk.tap("Add")
    for what in ("Moved", "Exposed", "Reclaimed"):
        walk.tap(what)
        walk.see(f"many-{what.lower()}")


def places(walk: Walk, code: str, big: str) -> None:
    walk.open("/#shift")
    walk.see("shift")
    walk.open("/#phone")
    walk.page.wait_for_timeout(600)
    walk.see("this-phone")
    walk.open("/#sums")
    walk.page.wait_for_timeout(600)
    walk.see("sums")
    for name in SUMS:
        walk.open(f"/f/{code}#sums/{name}")
        walk.see(f"sum-{name}")
    walk.open(f"/f/{big}#tweak")
    walk.see("tweak-many-bolts")


def find(shop: ShopProcess) -> dict[str, str]:
    return json.loads(told(shop, FIND, "FOUND"))


def walk_shop(walk: Walk, found: dict[str, str]) -> None:
    code = found["code"]
    say_context(walk, found)
    find_frames(walk, found)
    check(walk, code)
    tweak(walk, code)
    forms(walk, code, found["bare"])
    marks(walk, code)
    register_asked(walk, code)
    log(walk, code)
    many(walk, [code, found["big"]])
    places(walk, code, found["big"])
