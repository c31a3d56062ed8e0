"""The phone in German and with inches: chosen on it, kept offline, nothing English or lost."""

import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import Page, expect

from tests import english
from tests.browser import judged
from tests.browser.chromium import PHONE
from tests.browser.conftest import ProfileMaker
from tests.browser.demo_shop import Opened, open_demo
from tests.browser.hand import Operator
from tests.conftest import ServerMaker
from tests.shop_process import ShopProcess

INCHES = """
from frames import things
from frames.models import Shop
shop = Shop.objects.get()
units = {"length_unit": "in", "count_unit": "in"}
things.change("shop", shop.pk, units, shop.version, "tests")
"""
SHOWN = """() => {
  const seen = (one) => one.checkVisibility({ visibilityProperty: true });
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  const texts = [];
  while (walk.nextNode()) {
    const { parentElement, data } = walk.currentNode;
    if (seen(parentElement)) texts.push(data);
  }
  for (const name of ["aria-label", "title", "placeholder"]) {
    for (const one of document.querySelectorAll(`[${name}]`)) texts.push(one.getAttribute(name));
  }
  return [...new Set(texts.map((text) => text.trim()).filter(Boolean))];
}"""

# Every text of the catalogue stands between two signs that nobody sees and that take no room.
SIGNED = r"""
let book;
const sign = (part, i) => (i % 2 || !part ? part : `\u2061${part}\u2062`);
Object.defineProperty(globalThis, "tautbookCatalogue", {
  get: () => book,
  set({ language, texts }) {
    const signed = ([key, text]) => [key, text.split(/(\{\d\}|[|#])/).map(sign).join("")];
    book = { language, texts: Object.fromEntries(Object.entries(texts).map(signed)) };
  },
});
"""
# One that is shown in two pieces has its signs at the ends.
OF_THE_BOOK = re.compile("\u2061[^\u2062]*(\u2062|$)|^[^\u2061]*\u2062")
DAY = re.compile(r"\d+\. [A-Z][a-zä]+")
SAME = re.compile(r"\bMPa\b|\b[0-9a-f]{12}\b")  # a unit, the id of a version


def signed(text: str) -> str:
    return f"\u2061{text}\u2062"


@pytest.fixture
def demo(open_server: ServerMaker, demo_data: object) -> ShopProcess:
    server = open_server(demo_data, host="shop.test", secure=True)
    server.python(INCHES)
    return server


@pytest.fixture
def opened(demo: ShopProcess) -> Opened:
    return open_demo(demo)


@pytest.fixture
def phone(demo: ShopProcess, opened: Opened, open_profile: ProfileMaker) -> Operator:
    """A phone let in, on whose own page German was chosen."""
    profile = open_profile(demo, viewport=PHONE, has_touch=True, is_mobile=True)
    profile.open().add_init_script(SIGNED)
    phone = Operator(profile, demo).let_in(opened.cookie)
    phone.tap("This phone")
    speak(phone, "Deutsch", "de")
    return phone


def speak(phone: Operator, choice: str, language: str) -> None:
    phone.tap(choice)
    expect(phone.page.locator(f"html[lang={language}]")).to_be_attached()
    expect(phone.page.locator(".page-this-phone")).to_be_visible()


def english_on(page: Page) -> list[str]:
    """Texts with words in them that neither the catalogue nor the shop gave."""
    return [text for text in page.evaluate(SHOWN) if english.left([_bare(text)])]


def _bare(text: str) -> str:
    return SAME.sub("", DAY.sub("", OF_THE_BOOK.sub("", text)))


def walked(phone: Operator, addresses: list[str]) -> Iterator[str]:
    for address in addresses:
        phone.page.goto("about:blank")
        phone.open(address)
        phone.page.locator("main").wait_for()
        phone.page.wait_for_timeout(judged.SETTLE_MS)
        yield address


KEY_PAGES = ("", "#check", "#tweak", "#plan/tension", "#register", "#more")


def test_nothing_is_english_lost_or_barred_on_a_narrow_phone(
    phone: Operator, opened: Opened
) -> None:
    """German is longer than the English for which every page was laid out."""
    phone.page.set_viewport_size(judged.NARROW)
    judged_whole = {"/", "/#outbox", "/#context", "/#phone"}
    judged_whole |= {f"/f/{opened.code}{page}" for page in KEY_PAGES}
    found = []
    for address in walked(phone, [*opened.phone_addresses(), "/#phone"]):
        found += [f"{address}: English: {text}" for text in english_on(phone.page)]
        found += [f"{address}: {line}" for line in judged.lost(phone.page)]
        if address in judged_whole:
            found += [f"{address}: {line}" for line in judged.axe_findings(phone.page)]
    assert not found, "\n".join(found)


def test_german_in_inches_offline_and_back(
    demo: ShopProcess, phone: Operator, opened: Opened
) -> None:
    phone.open(f"/f/{opened.code}#sums/weave")
    for typed in ("48,5", "48.5"):
        phone.page.get_by_label(signed("Faden"), exact=True).fill(typed)
        expect(phone.page.locator(".sum-answer")).to_contain_text(re.compile(r"\d,\d µm"))
    demo.stop()
    phone.open(f"/f/{opened.code}")
    expect(phone.button(signed("Messung"))).to_be_visible()
    expect(phone.page.locator(".sub")).to_contain_text("Zoll")
    assert english_on(phone.page) == []
    demo.start()
    phone.open("/#phone")
    speak(phone, signed("Wie im Betrieb"), "en")
    expect(phone.button("As in the shop")).to_have_attribute("aria-pressed", "true")
    # What found nothing above finds English where it is.
    assert "This phone" in english_on(phone.page)
