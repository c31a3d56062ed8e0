"""What a phone's reader waits for, in Chromium over https against the real server on SQLite."""

import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from statistics import median

from django.conf import settings
from playwright.sync_api import BrowserContext, Page, Request, expect, sync_playwright

from tests.bench.timing import Row
from tests.browser.chromium import PHONE, Profile, trust
from tests.browser.full_outbox import fill
from tests.browser.hand import Operator
from tests.shop_process import ShopProcess

# In the end about half of the frames carry a mesh: 1,000 cards that a phone can show, and behind
# them more than 20,000 entries.
FRAMES, ENTRIES, UNSENT, SLOWER = 1900, 50_000, 1000, 4
PUSH = "**/api/v1/sync/push"
GROW = f"""
from django.contrib.auth.models import User
from frames.models import Frame, ScreenState
from tests.bench.book import Book
from tests.browser.small_shop import let_in
Book({FRAMES}, {ENTRIES}).grow({ENTRIES})
live = ScreenState.objects.filter(ended_at=None).values("frame")
print("CODES", *sorted(frame.code for frame in Frame.objects.filter(pk__in=live)))
print("COOKIE", let_in(User.objects.create_user("bench"), "Phone 1"))
"""

DRAIN = """() => new Promise((resolve) => {
  const line = document.querySelector(".sync-line");
  const sent = () => /all sent/.test(line.textContent);
  const begun = performance.now();
  const watch = new MutationObserver(() => {
    if (!sent()) return;
    watch.disconnect();
    resolve(performance.now() - begun);
  });
  watch.observe(line, { subtree: true, childList: true, characterData: true });
  window.dispatchEvent(new Event("online"));
})"""

# From the moment at which the code is known until it is drawn: two frames later it is on screen.
OPEN_CARD = """() => new Promise((resolve) => {
  const begun = performance.now();
  const there = () => document.querySelector("h1.code") && document.querySelector("figure svg");
  const drawn = () => requestAnimationFrame(() => requestAnimationFrame(
    () => resolve(performance.now() - begun)));
  const watch = new MutationObserver(() => {
    if (!there()) return;
    watch.disconnect();
    drawn();
  });
  watch.observe(document.body, { subtree: true, childList: true });
  document.querySelector("button[type=submit]").click();
})"""

GO_TO_TYPE = """() => {
  history.replaceState(null, "", "/#type");
  dispatchEvent(new PopStateEvent("popstate"));
}"""

HELD = """() => new Promise((resolve) => {
  const open = indexedDB.open("tautbook");
  open.onsuccess = () => {
    const count = open.result.transaction("entries").objectStore("entries").count();
    count.onsuccess = () => resolve(count.result);
  };
})"""


def rows() -> Iterator[Row]:
    if not settings.DATABASES["default"]["ENGINE"].endswith("sqlite3"):
        return
    with tempfile.TemporaryDirectory(prefix="tautbook-chromium-") as folder:
        server = ShopProcess(Path(folder) / "data", host="shop.test", secure=True)
        try:
            codes, cookie = _furnished(server)
            with sync_playwright() as playwright:
                profile = Profile(playwright, Path(folder) / "home", viewport=PHONE, has_touch=True)
                trust(profile.home, server.data / "authority/authority.pem")
                yield from _measured(Operator(profile, server), codes, cookie)
                profile.close()
        finally:
            server.kill()


def _furnished(server: ShopProcess) -> tuple[list[str], str]:
    """Codes of the frames, and the cookie of a phone."""
    server.data.mkdir()
    server.manage("migrate", "--verbosity", "0", "--no-input")
    server.manage("collectstatic", "--verbosity", "0", "--no-input")
    told = dict(line.split(" ", 1) for line in server.python(GROW).splitlines() if " " in line)
    server.start()
    return told["CODES"].split(), told["COOKIE"]


def _measured(phone: Operator, codes: list[str], cookie: str) -> Iterator[Row]:
    context = phone.profile.open()
    sizes = _Sizes(context)
    phone.let_in(cookie)
    yield sizes.row()
    held = phone.page.evaluate(HELD)
    yield _card(phone, codes, held)
    yield _drain(phone, codes[0])


class _Sizes:
    """What comes over the line, headers too, but for answers of the API."""

    def __init__(self, context: BrowserContext) -> None:
        self.bytes: dict[str, list[int]] = {}
        context.on("requestfinished", self._note)

    def _note(self, request: Request) -> None:
        if "/api/" not in request.url:
            sizes = request.sizes()
            moved = sizes["responseBodySize"] + sizes["responseHeadersSize"]
            name = request.url.rsplit("/", 1)[-1]
            self.bytes.setdefault(name, []).append(moved)

    def row(self) -> Row:
        decoder = sum(sum(moved) for name, moved in self.bytes.items() if "zxing" in name)
        rest = sum(map(sum, self.bytes.values())) - decoder
        figures = f"{rest / 1024:,.0f} KB, and {decoder / 1024:,.0f} KB of label reader"
        return Row("first visit, packed", figures, rest / 1024 / 200, "≤ 200 KB")


@contextmanager
def _slower(page: Page, times: int) -> Iterator[None]:
    """One session for all of it: a second one would leave the first to slow the next page again."""
    session = page.context.new_cdp_session(page)
    session.send("Emulation.setCPUThrottlingRate", {"rate": times})
    yield
    session.send("Emulation.setCPUThrottlingRate", {"rate": 1})
    session.detach()


def _card(phone: Operator, codes: list[str], held: int) -> Row:
    page = phone.page
    page.context.set_offline(True)
    with _slower(page, SLOWER):
        taken = [_opened(phone, code) for code in codes[:: len(codes) // 12]][1:]
    page.context.set_offline(False)
    figures = f"{median(taken):.0f} ms, at most {max(taken):.0f}; {held:,} entries held"
    name = f"frame card offline, {SLOWER} times slower, {len(codes):,} frames"
    return Row(name, figures, median(taken) / 300, "≤ 300 ms")


def _opened(phone: Operator, code: str) -> float:
    phone.page.evaluate(
        "history.replaceState(null, '', '/#type'); dispatchEvent(new PopStateEvent('popstate'))"
    )
    phone.page.get_by_role("textbox").fill(code)
    return phone.page.evaluate(OPEN_CARD)


def _drain(phone: Operator, code: str) -> Row:
    phone.page.route(PUSH, lambda route: route.abort())
    phone.type_code(code)
    phone.page.get_by_role("button", name="Add a note").click()
    phone.page.get_by_role("textbox").fill("one of many")
    phone.page.get_by_role("button", name="Save").click()
    phone.saw_saved("Note")
    phone.open("/")
    fill(phone.page, UNSENT)
    phone.open("/")
    expect(phone.sync_line).to_contain_text(f"{UNSENT} waiting")
    phone.page.unroute(PUSH)
    took = phone.page.evaluate(DRAIN)
    phone.wait_stored()
    return Row(f"drain of {UNSENT:,} entries", f"{took:,.0f} ms", took / 1000, "≤ 1 s")
