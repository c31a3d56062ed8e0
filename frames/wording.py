"""Sentences for people, said in the language that is asked for; without Django in English.

A sentence is one template with its values kept apart: `say("At most {0} tightened: {1}.", "½ turn",
names)`. The template is what the catalogue of a language knows. Whoever serves people (the Django
app `frames`) hands a language in by `speak_by`; until then templates are said as they are written.
"""

from collections.abc import Callable

One = Callable[[str], str]
Many = Callable[[str, str, int], str]
Marks = Callable[[], tuple[str, str]]


def _as_written(text: str) -> str:
    return text


def _english(one: str, many: str, count: int) -> str:
    return one if count == 1 else many


def _english_marks() -> tuple[str, str]:
    return ".", ","


_one: One = _as_written
_many: Many = _english
_marks: Marks = _english_marks


def speak_by(one: One, many: Many, marks: Marks) -> None:
    """From now on say sentences by these.

    `one` translates a template, `many` one of two by a count, `marks` gives the decimal mark and
    the mark between thousands; each is asked anew every time, so the language may change between.
    """
    global _one, _many, _marks
    _one, _many, _marks = one, many, marks


def mark(text: str) -> str:
    """The text as it is: marks a constant for the catalogue; `say` says it later."""
    return text


def mark_many(one: str, many: str) -> tuple[str, str]:
    """The same for two sentences by a count, which `say_many` says later."""
    return one, many


def say(text: str, *values: object) -> str:
    """The sentence, with values at {0}, {1} …; numbers get the language's decimal mark."""
    said = _one(text) if text else text
    return said.format(*map(shown, values)) if values else said


def say_many(one: str, many: str, count: int, *values: object) -> str:
    """One of two sentences by a count, which is {0} in both; further values follow."""
    return _many(one, many, count).format(*map(shown, (count, *values)))


def written(value: float, spec: str = "") -> str:
    """A number in Python's format, with the language's marks: written(1.5, ".2f") → 1.50 or 1,50.

    >>> written(1234.5, ",.1f")
    '1,234.5'
    """
    decimal, thousands = _marks()
    text = format(value, spec)
    return text if decimal == "." else text.translate({44: thousands, 46: decimal})


def shown(value: object) -> object:
    return written(value) if isinstance(value, float) else value
