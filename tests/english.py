"""Finds English on a page that is meant to be German: a text of the catalogue said as written."""

import re
from collections.abc import Iterable
from functools import cache

from tests import catalogue

VALUE = re.compile(r"\\?\{\w*\\?\}|%\\?\(\w+\\?\)s|%s")
TAGS = re.compile(r"<[^>]*>")
LETTERS = 4


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
    return [text for text in texts if any(one.fullmatch(text) for one in patterns())]
