"""What a page must stand up to: axe, the keyboard, a narrow screen, large text."""

from collections.abc import Callable, Iterator
from functools import cache
from typing import Any

from playwright.sync_api import Page

from shopfloor.launch import pages

NARROW = {"width": 320, "height": 640}
SETTLE_MS = 250


@cache
def axe_source() -> str:
    return (pages.FOLDER / "node_modules/axe-core/axe.min.js").read_text("utf-8")


# only what is wrong is worked out in full
AXE = """(rules) => axe.run({ resultTypes: ["violations"], ...(rules && { runOnly: rules }) })
  .then((all) => all.violations)"""


def axe_findings(page: Page, *rules: str) -> list[str]:
    """What axe-core has to say against the page as it is shown now, by these rules or by all."""
    # Evaluated by the debugger, as the page's own policy rightly forbids foreign scripts.
    page.evaluate(axe_source())
    found: list[dict[str, Any]] = page.evaluate(AXE, list(rules) or None)
    return [
        f"{one['id']} ({one['impact']}): {one['help']}: {node['target']} {node['html'][:120]}"
        for one in found
        for node in one["nodes"]
    ]


LOST = """() => {
  const found = [];
  const tell = (what, one) => found.push(`${what}: ${one.outerHTML.slice(0, 120)}`);
  const wide = document.documentElement.scrollWidth - innerWidth;
  if (wide > 1) found.push(`the page is ${wide} px wider than the screen`);
  // A part that scrolls by itself, like a wide table, loses nothing.
  const scrolls = (one) => one !== null && one !== document.body
    && (/auto|scroll/.test(getComputedStyle(one).overflowX) || scrolls(one.parentElement));
  const skipped = (one) => !one.textContent.trim() || one.closest("svg, [hidden], .visually-hidden")
    || !one.checkVisibility({ visibilityProperty: true }) || one.getBoundingClientRect().width < 2;
  for (const one of document.querySelectorAll("body *")) {
    if (skipped(one) || scrolls(one)) continue;
    const { left, right } = one.getBoundingClientRect();
    const clips = /hidden|clip/.test(getComputedStyle(one).overflowX);
    if (clips && one.scrollWidth > one.clientWidth + 1) tell("cut off", one);
    const control = one.matches("button, a, input, select, textarea, summary, label");
    if (control && (right > innerWidth + 1 || left < -1)) tell("out of reach", one);
  }
  const bottom = document.querySelector(".bottom");
  const high = bottom?.getBoundingClientRect().height ?? 0;
  // One that scrolls with the page covers nothing.
  const covers = bottom && getComputedStyle(bottom).position !== "static";
  if (covers && high > innerHeight * 0.6) found.push(`the bar at the bottom covers ${high} px`);
  return found;
}"""


def lost(page: Page) -> list[str]:
    """What cannot be read or reached at the present width and size of text."""
    return page.evaluate(LOST)


def enlarge(page: Page, percent: int) -> None:
    page.evaluate(f"document.documentElement.style.fontSize = '{percent}%'")
    page.wait_for_timeout(SETTLE_MS)


MARK = """() => {
  const visible = (one) => one.checkVisibility({ visibilityProperty: true })
    && one.getClientRects().length > 0;
  const wanted = [...document.querySelectorAll(
    "a[href], button, input, select, textarea, summary, [tabindex]")]
    .filter((one) => one.tabIndex >= 0 && !one.disabled && visible(one))
    // Of radio buttons that belong together the keyboard reaches one and arrows the others.
    .filter((one) => one.type !== "radio" || one.checked
      || !document.querySelector(`input[name="${one.name}"]:checked`));
  wanted.forEach((one, number) => { one.dataset.wanted = number; });
  document.activeElement?.blur();
  window.scrollTo(0, 0);
  return wanted.length;
}"""
# Noted by the page itself: to ask it after every Tab would take longer than all else.
LISTEN = """() => {
  window.tabbed = [];
  document.addEventListener("focusin", ({ target: one }) => {
    const style = getComputedStyle(one);
    const shape = one.querySelector?.(".fd-bolt, .fd-hit");
    const ringed = (style.outlineStyle !== "none" && parseFloat(style.outlineWidth) > 0)
      || style.boxShadow !== "none" || Boolean(shape) || one.matches("#matter, #main");
    window.tabbed.push({ wanted: one.dataset.wanted, ringed, html: one.outerHTML.slice(0, 120) });
  });
}"""


def keyboard_findings(page: Page) -> list[str]:
    """What Tab does not reach, and what it reaches without showing it."""
    count = page.evaluate(MARK)
    page.evaluate(LISTEN)
    for _ in range(count + 8):
        page.keyboard.press("Tab")
    tabbed = [one for one in page.evaluate("window.tabbed") if one.get("wanted")]
    reached = {int(one["wanted"]) for one in tabbed}
    unseen = {f"focus is not shown: {one['html']}" for one in tabbed if not one["ringed"]}
    still_there = "(n) => document.querySelector(`[data-wanted='${n}']`)?.outerHTML"
    missing = [page.evaluate(still_there, number) for number in sorted(set(range(count)) - reached)]
    # What has left the page meanwhile, like the offer to undo, cannot be reached.
    told = [f"not reached by Tab: {html[:120]}" for html in missing if html]
    return told + sorted(unseen)


Judge = Callable[[Page], dict[str, list[str]]]


def sizes(page: Page) -> dict[str, list[str]]:
    """What is lost on a narrow screen, and where text is large."""
    usual = page.viewport_size
    page.set_viewport_size(NARROW)
    page.wait_for_timeout(SETTLE_MS)
    narrow = lost(page)
    page.set_viewport_size(usual)
    enlarge(page, 200)
    large = lost(page)
    enlarge(page, 100)
    return {"narrow": narrow, "large text": large}


def findings(page: Page) -> dict[str, list[str]]:
    """What is to be said against the page that is open, by what judged it."""
    page.emulate_media(color_scheme="dark")
    # the same page but for its colours
    dark = axe_findings(page, "color-contrast")
    page.emulate_media(color_scheme="light")
    found = {"dark": dark, "light": axe_findings(page), **sizes(page)}
    # Last, as some things on a page do more than show that they have the focus.
    return found | {"keyboard": keyboard_findings(page)}


def told(pages: Iterator[tuple[str, Judge]], page: Page) -> str:
    """A line for everything found on pages that are opened one after another."""
    return "\n".join(
        f"{name}, {how}: {line}"
        for name, judge in pages
        for how, lines in judge(page).items()
        for line in lines
    )
