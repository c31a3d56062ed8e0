"""Every text that people read is in the catalogue, and has its German."""

import gettext
import re
from collections import Counter
from pathlib import Path

import pytest
from babel.messages import pofile
from babel.messages.catalog import Catalog, Message

from shopfloor import places
from tests import catalogue, unmarked

FIELDS = re.compile(r"\{\w*\}|%\(\w+\)s|%s|%%|\$\w+|</?\w+|href=['\"][^'\"]*['\"]")
NEW = "`python -m tests.catalogue` brings the catalogue up to the code; then give the German there."

# Read at a terminal by the keeper of the machine, or by whoever watches over the server.
KEEPER = (
    *catalogue.ON_THE_TERMINAL,
    *("shopfloor/backup/", "shopfloor/authority/", "shopfloor/moving.py", "shopfloor/position.py"),
    *("shopfloor/checks.py", "shopfloor/ready.py", "shopfloor/environment.py"),
)
# Text for people that is in no language, or must not change with it.
SAME_EVERYWHERE = {
    "Dial plates": "an example in the one form of lists",
    "PO 7731": "an example in the one form of lists",
    "UV 3101": "an example in the one form of lists",
    "Kept with row {}.": "in a list that was put out, whose form is one",
    "Atkinson Hyperlegible": "a typeface",
    "Noto Sans": "a typeface",
    "Shop Frame Mesh Press Meter Operator Job Colour": "names of tables",
    "Any error": "in the description of the API, for programmers",
    "This page is for another group of people.": "raised; the page 403.html speaks",
    "The service worker is not built.": "told to whoever builds it",
    "The icons are not built.": "told to whoever builds them",
}


@pytest.fixture(scope="module")
def known() -> Catalog:
    return catalogue.standing()


def translated(known: Catalog) -> list[Message]:
    return [message for message in known if message.id]


def test_the_catalogue_holds_what_the_code_says_and_nothing_else(known: Catalog) -> None:
    now = {_key(message.id) for message in catalogue.messages()}
    there = {_key(message.id) for message in translated(known)}
    assert len(now) > 1000
    assert now - there == set(), NEW
    assert there - now == set(), NEW


def _key(id: str | tuple[str, str]) -> str:
    """A singular on its own and one beside its plural are one text."""
    return id if isinstance(id, str) else id[0]


def test_every_text_has_its_german(known: Catalog) -> None:
    assert catalogue.untranslated(known) == []
    assert [str(message.id) for message in translated(known) if message.fuzzy] == []


def test_values_stand_in_both(known: Catalog) -> None:
    wrong = [pair for message in translated(known) for pair in _pairs(message) if _differ(*pair)]
    assert wrong == []


def _pairs(message: Message) -> list[tuple[str, str]]:
    if isinstance(message.id, str):
        return [(message.id, message.string)]
    return list(zip(message.id, message.string, strict=True))


def _differ(english: str, german: str) -> bool:
    return Counter(FIELDS.findall(english)) != Counter(FIELDS.findall(german))


def test_what_django_reads_is_what_was_written(known: Catalog) -> None:
    with catalogue.PO.with_suffix(".mo").open("rb") as file:
        read = gettext.GNUTranslations(file)
    for message in translated(known):
        if isinstance(message.id, str):
            assert read.gettext(message.id) == message.string, NEW
        else:
            said = [read.ngettext(*message.id, count) for count in (1, 2)]
            assert said == list(message.string), NEW


@pytest.mark.parametrize("path", sorted(places.TEMPLATES.rglob("*.html")), ids=lambda p: p.name)
def test_templates_say_nothing_outside_of_their_marks(path: Path) -> None:
    assert unmarked.of_template(path.read_text("utf-8")) == []


@pytest.mark.parametrize("package", catalogue.PACKAGES)
def test_python_says_nothing_unmarked(package: str) -> None:
    found, excused = [], set()
    for path in sorted((places.ROOT / package).rglob("*.py")):
        file = path.relative_to(places.ROOT).as_posix()
        if file.startswith(KEEPER) or "/migrations/" in file:
            continue
        for line, text in unmarked.of_python(path.read_text("utf-8")):
            (
                excused.add(text)
                if text in SAME_EVERYWHERE
                else found.append(f"{file}:{line} {text}")
            )
    assert found == []
    if package == "shopfloor":
        assert excused == set(SAME_EVERYWHERE), "an exception that is needed no longer"


def test_a_text_without_its_mark_is_found() -> None:
    assert unmarked.of_template("<p>Nothing yet.</p>") == ["Nothing yet."]
    assert unmarked.of_template('<a title="Go on" href="/">{{ name }}</a>') == ["Go on"]
    assert unmarked.of_template('<b>{{ name|default:"Screen" }}</b>')
    assert unmarked.of_template('<p>{% translate "Nothing yet." %} {{ mm }} mm</p>') == []
    said = 'def f(n: int) -> str:\n    "Docs."\n    return f"{n} are left."\n'
    assert list(unmarked.of_python(said.replace("{n}", "They"))) == [(3, "They are left.")]
    assert list(unmarked.of_python('x = Field(label="Name")\ny = CharField(label="Name")'))
    assert list(unmarked.of_python('say("They are left.")')) == []
    assert list(unmarked.of_python('messages.error(request, "They are left.")'))
    assert list(unmarked.of_python('messages.success(request, f"Saved: {name}.")'))
    assert list(unmarked.of_python('logger.error("They are left.")')) == []


def test_a_text_that_the_catalogue_lacks_is_found(known: Catalog) -> None:
    source = 'say("Nobody has said this yet.")\nsay_many("{0} nob", "{0} nobs", n)\n'
    found = {message.id for message in catalogue.of_python(source, "x.py")}
    assert found == {"Nobody has said this yet.", ("{0} nob", "{0} nobs")}
    assert not any(known.get(id) for id in found)
    counted = "{% blocktranslate count n=n %}1 {{ a }}{% plural %}2{% endblocktranslate %}"
    shown = "{% translate 'Never' %}" + counted
    found = {message.id for message in catalogue.of_template(shown, "x.html")}
    assert found == {"Never", ("1 %(a)s", "2")}
    lacking = Catalog(locale="de")
    lacking.add("Never")
    assert catalogue.untranslated(lacking) == ["Never"]
    assert _differ("{0} of {1}", "{0} von {0}")
    assert pofile.read_po(catalogue.PO.open("rb"), locale="de").get("Frames") is not None
