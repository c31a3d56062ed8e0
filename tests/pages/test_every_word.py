"""Every word of the office comes out of the catalogue: said in letters of another alphabet, nothing
is left on any page in the usual ones but what the shop itself gave a name.
"""

import re
from collections import Counter
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from django.core.management import call_command
from django.db import transaction
from django.test import Client
from django.urls import reverse
from django.utils.translation import trans_real

from frames.models import FrameState, ScreenState, Shop
from shopfloor.labels.ink import Ink
from shopfloor.labels.paper import Paper
from tests import english
from tests.pages.test_german import COOKIE, Reader

pytestmark = pytest.mark.django_db
# Mathematical letters: no key has them, and a page escapes none of them.
OTHER = {ord("A") + n: 0x1D5A0 + n for n in range(26)} | {
    ord("a") + n: 0x1D5BA + n for n in range(26)
}
# A text's values, tags and entities stay as they are.
KEPT = re.compile(r"(\{\w*\}|%\(\w+\)[sd]|%[sd%]|</?\w[^>]*>|&\w+;)")
LINK = re.compile(r'href="(/office/[^"#]*|\?[^"#]*)')
OWN_FORM = re.compile(r'<form (?![^>]*action=)[^>]*method="post"')
EACH = re.compile(r"[0-9a-f]{8}-[0-9a-f-]{27}|(?<=/)\d+(?=/)")
# The form of lists is one in every language; a file is no page.
SAME = ("/office/shop/lists/", ".zip", ".pdf", ".png", ".csv", ".json")
MOST_OF_A_KIND = 3


def in_other_letters(text: str) -> str:
    parts = enumerate(KEPT.split(text))
    return "".join(part if place % 2 else part.translate(OTHER) for place, part in parts)


@pytest.fixture
def other_letters(monkeypatch: pytest.MonkeyPatch) -> None:
    """German in letters of another alphabet."""
    of = trans_real.DjangoTranslation
    one, many = of.gettext, of.ngettext

    def gettext(self: Any, text: str) -> str:
        return in_other_letters(one(self, text)) if text else one(self, text)

    def ngettext(self: Any, text: str, texts: str, count: int) -> str:
        return in_other_letters(many(self, text, texts, count))

    monkeypatch.setattr(of, "gettext", gettext)
    monkeypatch.setattr(of, "ngettext", ngettext)


@pytest.fixture
def demo(other_letters: None, mara: Client) -> Client:
    call_command("load_demo", verbosity=0)
    Shop.objects.update(language="de")
    call_command("derive", verbosity=0)
    mara.cookies[COOKIE] = "de"
    return mara


def pages(client: Client) -> Iterator[tuple[str, list[str]]]:
    """Whatever a link leads to, some of each kind: its address and its texts."""
    to_do, known, of_a_kind = ["/office/"], {"/office/"}, Counter[str]()
    while to_do:
        address = to_do.pop(0)
        path, _, _ = address.partition("?")
        kind = EACH.sub("*", path)
        of_a_kind[kind] += 1
        if of_a_kind[kind] > MOST_OF_A_KIND or any(word in path for word in SAME):
            continue
        answer = client.get(address)
        assert answer.status_code == 200, address
        page = answer.content.decode()
        yield kind, Reader(page).texts
        if OWN_FORM.search(page) and of_a_kind[kind] == 1:
            yield f"{kind} sent empty", _sent_empty(client, address)
        found = [path + link if link[0] == "?" else link for link in LINK.findall(page)]
        new = [link.replace("&amp;", "&") for link in dict.fromkeys(found) if link not in known]
        known |= set(new)
        to_do += new


def _sent_empty(client: Client, address: str) -> list[str]:
    """What is told about a form with nothing in it; whatever that did is taken back."""
    with transaction.atomic():
        answer = client.post(address, follow=True)
        transaction.set_rollback(True)
    return Reader(answer.content.decode()).texts


def test_every_word_of_the_office_is_in_the_catalogue(demo: Client) -> None:
    found, kinds = set(), set()
    for kind, texts in pages(demo):
        kinds.add(kind)
        found |= {f"{kind}: {text}" for text in english.left(texts)}
    assert len(kinds) > 50
    assert sorted(found) == []


@pytest.fixture
def printed(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Whatever is written on paper from now on."""
    said: list[str] = []
    for kind, place in ((Paper, 2), (Ink, 1)):
        monkeypatch.setattr(kind, "text", listening(kind.text, place, said))
    return said


def listening(write: Callable, place: int, said: list[str]) -> Callable:
    def text(self: Any, *told: Any, **how: Any) -> None:
        said.append(str(told[place]))
        write(self, *told, **how)

    return text


def test_every_word_on_paper_is_in_the_catalogue(demo: Client, printed: list[str]) -> None:
    torn = ScreenState.objects.exclude(ended_at=None).latest("ended_at").frame
    frames = [torn, *FrameState.objects.exclude(screen=None).values_list("frame", flat=True)[:2]]
    asked = {"frame": frames, "stock": "a4-14"}
    for name in ("labels:sheet", "labels:trial"):
        assert demo.get(reverse(name), asked).status_code == 200
    for frame in frames:
        assert demo.get(reverse("office:paper-card", args=[frame])).status_code == 200
    assert len(set(printed)) > 100
    assert english.left(printed) == []


def test_a_word_that_is_said_as_written_is_found(other_letters: None) -> None:
    assert english.left([in_other_letters("Read {0} times"), "Bare, 𝗅𝖺̈𝗇𝗀𝗌"]) == ["Bare, 𝗅𝖺̈𝗇𝗀𝗌"]
