"""How long a phone works on advice: in Chromium, slowed down four times.

    python -m tests.vectors.bench_advice

Wanted: a plan for tension in 150 ms with 28 bolts and in 400 ms with 64. The first plan of a page
takes longest; a check that is opened makes two for nobody beforehand. Prints, judges nothing.
"""

from collections.abc import Callable
from statistics import median
from typing import Any

from playwright.sync_api import Page, sync_playwright

from frames import advice
from shopfloor.launch import pages
from tests.advice.screens import NINE, entry, state
from tests.browser.chromium import FLAGS, executable

Json = dict[str, Any]
SLOWER = 4
TIMES = 7
LEVELS = (17.0, 19.5, 18.5, 20.0, 18.0)
MARKS = ((0.15, 0.15, 0.3), (0.85, 0.15, -0.25), (0.85, 0.85, -0.3), (0.15, 0.85, 0.35))
RUN = """([question, request]) => {
  const start = performance.now();
  window.tautbookAdvice[question](request);
  return performance.now() - start;
}"""

# As often as the page of a check does.
WARM = """(request) => {
  for (let i = 0; i < 2; i++) window.tautbookAdvice.warmUp(request.frame, request.mesh);
}"""


def request(a_side: int, step: int) -> Json:
    """A retension after one round: the server's estimate, and a check that it does not know."""
    bolts = {side: [1000 / a_side * (i + 0.5) for i in range(a_side)] for side in "ABCD"}
    every = [{"bolt": f"{s}{i + 1}", "turn_48ths": 48} for s in "ABCD" for i in range(a_side)]
    steps = [
        ("mesh_fitted", {"second_hand": False}),
        ("tension_check", check(-6)),
        ("bolt_turns", {"bolts": every}),
        ("nipped_up", {"bolts": []}),
        ("tension_check", check(0)),
    ]
    since = [entry(i, *one) for i, one in enumerate(steps)]
    common = {
        "frame": {
            "profile": "ribbed_u",
            "inside_a_mm": 1000,
            "inside_b_mm": 1000,
            "bolts": bolts,
            "pitch_mm": 1.411,
            "step_48ths": step,
        },
        "mesh": {"material": "polyester", "count_per_cm": 77, "thread_um": 48, "cap_n_per_cm": 24},
        "screen": state(),
        "since": since[:2],
        "options": {"purpose": "retension"},
    }
    known = advice.estimate(common | {"seq": 2, "factors": None})
    return common | {"estimate": known, "since": since[2:]}


def check(shift: float) -> Json:
    spots = [
        {
            "u": u,
            "v": v,
            "along_a_n_per_cm": LEVELS[i % 5] + shift,
            "across_a_n_per_cm": LEVELS[(i + 2) % 5] + shift,
        }
        for i, (u, v) in enumerate(NINE)
    ]
    return {"stencil": "bare", "spots": spots}


def register(asked: Json) -> Json:
    marks = [{"u": u, "v": v, "dx_mm": d, "dy_mm": d / 3} for u, v, d in MARKS]
    return asked | {"pulls": [marks], "key_marks": [], "options": {"purpose": "register"}}


def measure(page: Page) -> None:
    for a_side, step in ((7, 8), (7, 3), (16, 8), (16, 3)):
        plan = request(a_side, step)
        for question, asked in (("tensionPlan", plan), ("registerPlan", register(plan))):
            times = [page.evaluate(RUN, [question, asked]) for _ in range(TIMES)]
            print(
                f"{question:>12}, {4 * a_side} bolts, step {step}/48: median {median(times):.0f} ms"
                f" (first {times[0]:.0f}, most {max(times[1:]):.0f})"
            )


def first(open_page: Callable[[], Page], plan: Json, ahead: str) -> float:
    page = open_page()
    page.evaluate(ahead, plan)
    took = page.evaluate(RUN, ["tensionPlan", plan])
    page.close()
    return took


def measure_first(open_page: Callable[[], Page]) -> None:
    """The first plan of a page, as it is and after those for nobody."""
    for a_side in (7, 16):
        plan = request(a_side, 8)
        cold, warm = (
            [first(open_page, plan, ahead) for _ in range(TIMES)] for ahead in ("() => 0", WARM)
        )
        print(
            f"first plan of a page, {4 * a_side} bolts: median {median(cold):.0f} ms,"
            f" warmed up {median(warm):.0f} ms (most {max(warm):.0f})"
        )


def main() -> None:
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=executable(playwright), args=FLAGS, headless=True
        )

        def open_page() -> Page:
            page = browser.new_page()
            page.add_script_tag(path=pages.FOLDER / "dist/advice.js")
            session = page.context.new_cdp_session(page)
            session.send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
            return page

        measure_first(open_page)
        measure(open_page())
        browser.close()


if __name__ == "__main__":
    main()
