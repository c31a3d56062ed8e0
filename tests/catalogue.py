"""What people read, drawn out of Python and templates, and the German for it.

`python -m tests.catalogue` brings `shopfloor/locale/de/LC_MESSAGES/django.po` up to the code and
writes the `django.mo` that Django reads; what lacks its German is printed.
"""

import ast
import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from babel.messages import mofile, pofile
from babel.messages.catalog import Catalog
from django.utils.translation.template import templatize

from shopfloor import places

PO = places.LOCALE / "de" / "LC_MESSAGES" / "django.po"
PACKAGES = ("frames", "shopfloor")
# What the keeper of the machine reads on its terminal stays English: it runs before packages,
# settings or a shop are there, and is looked up in English.
ON_THE_TERMINAL = ("shopfloor/launch/", "shopfloor/management/", "frames/management/")
# Functions whose first text is for the catalogue, and those that take it last, behind bounds.
FIRST = {"say", "phrase", "said", "later", "mark", "_", "gettext", "gettext_lazy"}
LAST = {"told", "number", "text", "whole", "one_of"}
PLURAL = {"say_many", "mark_many", "ngettext", "ngettext_lazy"}
STRING = r"""(u?'(?:[^'\\]|\\.)*'|u?"(?:[^"\\]|\\.)*")"""
ONE = re.compile(rf"\b(?:gettext|_)\({STRING}\)")
MANY = re.compile(rf"\bngettext\({STRING}, {STRING}, count\)")
# Every writing of the file would differ otherwise.
DAY = datetime(2026, 1, 1, tzinfo=UTC)
HEADER = (
    "# German texts of server and office. The words are those of the glossary in DEVELOPERS.md."
)


@dataclass(frozen=True)
class Message:
    """One text, or a pair of singular and plural, and the file that it stands in."""

    id: str | tuple[str, str]
    file: str
    from_template: bool = False


def messages() -> list[Message]:
    found = []
    for package in PACKAGES:
        for path in sorted((places.ROOT / package).rglob("*.py")):
            if not _named(path).startswith(ON_THE_TERMINAL):
                found += of_python(path.read_text("utf-8"), _named(path))
    for path in sorted(places.TEMPLATES.rglob("*.html")):
        found += of_template(path.read_text("utf-8"), _named(path))
    return found


def _named(path: Path) -> str:
    return path.relative_to(places.ROOT).as_posix()


def of_python(source: str, file: str) -> Iterator[Message]:
    for call in ast.walk(ast.parse(source)):
        name = (
            call.func.id if isinstance(call, ast.Call) and isinstance(call.func, ast.Name) else ""
        )
        if name in PLURAL and len(both := [*map(_literals, call.args[:2])]) == 2 and all(both):
            yield Message((both[0][0], both[1][0]), file)
        elif name in FIRST:
            yield from (Message(text, file) for text in _literals(call.args[0]) if text)
        elif name in LAST:
            texts = [text for arg in call.args for text in _literals(arg)]
            yield from (Message(text, file) for text in texts[-1:] if text[:1].isupper())


def _literals(arg: ast.expr) -> list[str]:
    """The text of an argument; both of them where it is one or the other."""
    if isinstance(arg, ast.IfExp):
        return _literals(arg.body) + _literals(arg.orelse)
    return [arg.value] if isinstance(arg, ast.Constant) and isinstance(arg.value, str) else []


def of_template(source: str, file: str) -> Iterator[Message]:
    code = templatize(source)
    for one, many in MANY.findall(code):
        yield Message((ast.literal_eval(one), ast.literal_eval(many)), file, True)
    for text in ONE.findall(MANY.sub("", code)):
        yield Message(ast.literal_eval(text), file, True)


def standing() -> Catalog:
    with PO.open("rb") as file:
        return pofile.read_po(file, locale="de")


def renewed(known: Catalog) -> Catalog:
    """A catalogue of all messages there are now, with what is known of their German."""
    made = Catalog(
        locale="de", project="Tautbook", creation_date=DAY, revision_date=DAY, header_comment=HEADER
    )
    for message in messages():
        flags = {"python-format"} if message.from_template and _has_names(message.id) else ()
        made.add(message.id, _german(known, message.id), locations=[(message.file, 1)], flags=flags)
    return made


def _german(known: Catalog, id: str | tuple[str, str]) -> str | tuple[str, ...]:
    there = known.get(id)
    plural = isinstance(id, tuple)
    if there is None or isinstance(there.string, str) == plural:
        return ("", "") if plural else ""
    return there.string


def _has_names(id: str | tuple[str, str]) -> bool:
    return "%(" in "".join(id)


def untranslated(made: Catalog) -> list[str]:
    """Texts without German; those without a letter need none."""
    return [
        str(one.id)
        for one in made
        if one.id and not all(one.string if isinstance(one.string, tuple | list) else (one.string,))
    ]


def write(made: Catalog) -> None:
    PO.parent.mkdir(parents=True, exist_ok=True)
    with PO.open("wb") as file:
        pofile.write_po(file, made, width=100, include_lineno=False, sort_by_file=True)
    with PO.with_suffix(".mo").open("wb") as file:
        mofile.write_mo(file, made)


if __name__ == "__main__":
    now = renewed(standing() if PO.exists() else Catalog(locale="de"))
    write(now)
    for text in untranslated(now):
        print("no German:", text)
    print(f"{len(now)} texts, {len(untranslated(now))} without German.")
