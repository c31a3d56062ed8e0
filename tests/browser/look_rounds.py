"""The walk through plans, turning, register and fitting mesh, on few bolts a side and on many."""

import re

from tests.browser.look_walk import Walk
from tests.browser.plan_shop import LAYOUTS
from tests.browser.spanner import Spanner
from tests.mechanics.plant import Plant

LOOKED_AT = ("small", "large")
WIDE = ((0.15, 0.5, "left"), (0.85, 0.5, "right"))
WIDE_MM_PER_M = 0.3


def settle(walk: Walk, press: str) -> None:
    walk.open("/#context")
    walk.tap("Ines")
    walk.tap(press)
    if press != "Screen room":
        walk.tap("1")
        # Told once they are remembered, and a second tap would take them back.
        if walk.button("Key black").count() == 0:
            walk.tap(walk.part("2611"))
            walk.tap("Key black")
    walk.lay("Squeegee side up, A near you")
    walk.tap("Done")


def tension(walk: Walk, name: str, code: str) -> None:
    """A check, the plan, a round of it, and what came of it."""
    spanner = Spanner(walk, name, code, Plant(2, LAYOUTS[name], start_n_per_cm=15.0))
    settle(walk, "Screen room")
    walk.open(f"/f/{code}#plan/tension")
    walk.page.get_by_text("Working it out").wait_for(state="detached")
    walk.see(f"{name}-plan-nothing-read")
    spanner.first_check()
    walk.see(f"{name}-card-read")
    spanner.plan()
    walk.see(f"{name}-plan")
    for fold in walk.page.locator("summary").all():
        fold.click()
    walk.see(f"{name}-plan-unfolded")
    walk.tap("Start turning")
    walk.see(f"{name}-turning")
    walk.tap("Turned otherwise?")
    walk.see(f"{name}-turned-otherwise")
    walk.tap("All bolts as a list")
    walk.see(f"{name}-turning-list")
    walk.tap("One at a time")
    turned = spanner.tick_off()
    walk.see(f"{name}-turned")
    walk.tap("Nip up")
    walk.see(f"{name}-nipping")
    spanner.plant.turn({bolt: turn / 48 for bolt, turn in turned.items()})
    spanner.tap_bolt("A2")
    walk.see(f"{name}-nipped")
    spanner.plant.nip_up()
    walk.tap("Save the round")
    walk.see(f"{name}-check-after")
    spanner.check_again()
    spanner.plan()
    walk.see(f"{name}-plan-after")


def tell_wide(walk: Walk, inside_a_mm: float) -> None:
    """Three pulls of a colour that printed wide."""
    far = WIDE_MM_PER_M * inside_a_mm / 1000
    walk.tap("Yes, three")
    walk.see("register-no-mark")
    for u, v, way in WIDE:
        walk.point(u, v)
        walk.see(f"register-mark-{way}")
        walk.tap(walk.part(f"printed {way}"))
        for pull, more in enumerate((0, 0.05, 0), start=1):
            walk.page.get_by_role("textbox", name=f"Pull {pull}, mm").fill(f"{far + more:.2f}")


def answered(walk: Walk, name: str) -> None:
    walk.tap("What to do?")
    walk.page.locator(".answer-head").wait_for()
    walk.see(f"register-{name}")


def register(walk: Walk, name: str, code: str) -> None:
    settle(walk, "Press 1")
    walk.open(f"/f/{code}")
    walk.tap("Register")
    walk.see(f"register-{name}-asked")
    tell_wide(walk, LAYOUTS[name].inside_a_mm)
    walk.page.locator("summary", has_text="Key colour").click()
    walk.see(f"register-{name}-marks")
    answered(walk, f"{name}-bolts")
    walk.tap("Start turning")
    walk.see(f"register-{name}-turning")
    walk.tap(walk.part("Done "))
    walk.tap("Stop here and nip up")
    walk.see(f"register-{name}-nipping")
    walk.tap("Save the round")
    walk.see(f"register-{name}-saved")


def other_answers(walk: Walk, code: str) -> None:
    """Scatter, a miss too small to matter, screws of the press, clamps over every bolt."""
    told = {
        "scatter": ("Press 1", [("right", 0.2, (0.1, -0.05, 0.2))]),
        "leave": ("Press 1", [("right", 0.2, (0.06, 0.06, 0.06))]),
        "screws": ("Press 4", [("right", 0.2, (0.3,) * 3), ("right", 0.8, (0.3,) * 3)]),
        "clamped": ("Press 2", [("left", 0.2, (0.2,) * 3), ("right", 0.8, (0.2,) * 3)]),
    }
    for answer, (press, marks) in told.items():
        settle(walk, press)
        walk.open(f"/f/{code}#register")
        if walk.button("Start over").count():
            walk.tap("Start over")
        walk.tap("Yes, three")
        for way, u, pulls in marks:
            walk.point(u, 0.5)
            walk.tap(walk.part(f"printed {way}"))
            for pull, far in enumerate(pulls, start=1):
                walk.page.get_by_role("textbox", name=f"Pull {pull}, mm").fill(f"{far:.2f}")
        answered(walk, answer)
        walk.tap("Other marks")
        walk.tap("Start over")


def refused_plan(walk: Walk, code: str) -> None:
    """With a stencil on only a reason brings a plan."""
    name = "printing"
    settle(walk, "Screen room")
    spanner = Spanner(walk, name, code, Plant(5, LAYOUTS[name], start_n_per_cm=17.0))
    spanner.first_check()
    spanner.plan()
    walk.see("plan-refused-stencil-on")
    walk.page.get_by_role("textbox").fill("the job goes out today")
    walk.tap("Plan all the same")
    walk.button("Start turning").wait_for()
    walk.see("plan-with-a-reason")
    walk.open(f"/f/{code}#plan/even_up")
    walk.page.get_by_text("Working it out").wait_for(state="detached")
    walk.see("plan-even-up")


def fitting(walk: Walk, name: str, code: str) -> None:
    """Every step of a new mesh."""
    settle(walk, "Screen room")
    for title in Spanner(walk, name, code, Plant(2, LAYOUTS[name])).fit():
        walk.see(f"{name}-stretch-{re.sub(r'[^a-z0-9]+', '-', title.lower())}")


def walk_rounds(walk: Walk, codes: dict[str, str]) -> None:
    for name in LOOKED_AT:
        tension(walk, name, codes[name])
    refused_plan(walk, codes["printing"])


def walk_register(walk: Walk, codes: dict[str, str]) -> None:
    for name in LOOKED_AT:
        register(walk, name, codes[name])
    other_answers(walk, codes["printing"])


def walk_fitting(walk: Walk, codes: dict[str, str]) -> None:
    for name in (*LOOKED_AT, "bare"):
        fitting(walk, name, codes[name])
