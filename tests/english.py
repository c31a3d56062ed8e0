"""Finds English on a page that is meant to be German."""

import json
import re
from collections.abc import Iterable, Iterator
from functools import cache
from typing import Any

from shopfloor.places import ROOT
from tests import catalogue

VALUE = re.compile(r"\\?\{\w*\\?\}|%\\?\(\w+\\?\)s|%s")
TAGS = re.compile(r"<[^>]*>")
LETTERS = 4
WORD = re.compile(r"[A-Za-z]{3,}")
SAME = {"Tautbook", "English", "Deutsch", "Letter"}
USED_BY = {"mara", "Walking phone"}
# what people of the demo shop wrote as they like
FREE = {"name", "second_name", "title", "note", "reason", "substrate", "rods", "device"}
FREE |= {"plus", "minus", "division"}


@cache
def patterns() -> list[re.Pattern[str]]:
    """Each English text that German has another word for, with anything where its values stand."""
    pairs = [(english, german) for one in catalogue.standing() for english, german in _forms(one)]
    said = {german for _, german in pairs}
    return [_pattern(english) for english, _ in pairs if english not in said and _words(english)]


def _forms(message: object) -> list[tuple[str, str]]:
    if isinstance(message.id, str):
        return [(message.id, message.string)] if message.id else []
    return list(zip(message.id, message.string, strict=True))


def _words(text: str) -> bool:
    """Enough of it is words: `{0} in` would be found in any sentence, `{0} line` in any name."""
    bare = VALUE.sub("", TAGS.sub("", text))
    loose = bare != TAGS.sub("", text) and len(bare.split()) < 2
    return len(re.sub(r"[^a-zA-Z]", "", bare)) >= LETTERS and not loose


def _pattern(text: str) -> re.Pattern[str]:
    return re.compile(VALUE.sub(".+", re.escape(TAGS.sub("", text).replace("%%", "%"))))


def among(texts: Iterable[str]) -> list[str]:
    """Those that are a text of the catalogue, said as it is written, and no words of the shop."""
    return [text for text in left(texts) if any(one.fullmatch(text) for one in patterns())]


def left(texts: Iterable[str]) -> list[str]:
    """Those with words that the demo shop did not write, once the catalogue's are taken out."""
    return [text for text in texts if WORD.search(given().sub("", text))]


@cache
def given() -> re.Pattern[str]:
    """Names and notes of the demo shop, the longest first."""
    told = json.loads((ROOT / "demo_fixtures/things.json").read_text("utf-8"))
    lines = (ROOT / "demo_fixtures/log.jsonl").read_text("utf-8").splitlines()
    texts = SAME | USED_BY | set(_written([told, [json.loads(line) for line in lines]]))
    longest = sorted((text for text in texts if WORD.search(text)), key=len, reverse=True)
    return re.compile("|".join(map(re.escape, longest)))


def _written(body: Any, key: str = "") -> Iterator[str]:
    if isinstance(body, dict):
        for name, value in body.items():
            yield from _written(value, name)
    elif isinstance(body, list):
        for one in body:
            yield from _written(one, key)
    elif isinstance(body, str) and key in FREE:
        yield " ".join(body.removeprefix("demo:").split())
