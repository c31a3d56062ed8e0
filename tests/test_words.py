"""Every text of the pages' code is marked, in the catalogue, and translated."""

import re
import subprocess
from pathlib import Path

import pytest
from babel.messages import pofile

from shopfloor.launch import node, pages
from tests import catalogue

GERMAN = pages.FOLDER / "locale/de.po"
HEAD = """msgid ""
msgstr ""
"Content-Type: text/plain; charset=utf-8\\n"
"Language: de\\n"
"Plural-Forms: nplurals=2; plural=(n != 1);\\n"
"""


def checked(*folder: str) -> subprocess.CompletedProcess[str]:
    command = [*node.find().node, "locale/words.mjs", "--check", *folder]
    return subprocess.run(command, cwd=pages.FOLDER, capture_output=True, text=True)


def test_no_text_is_unmarked_or_untranslated(built_pages: Path) -> None:
    done = checked()
    assert (done.returncode, done.stdout) == (0, ""), done.stdout + done.stderr


def a_project(folder: Path, code: str, po: str) -> str:
    """What the check says of a project with one view."""
    (folder / "src").mkdir()
    (folder / "src/view.jsx").write_text(code)
    (folder / "locale").mkdir()
    (folder / "locale/de.po").write_text(HEAD + po)
    done = checked(str(folder))
    assert done.returncode == (1 if done.stdout else 0), done.stderr
    return done.stdout


@pytest.mark.parametrize(
    "code",
    [
        "const A = () => <p>Turn the bolt.</p>;",
        "const A = () => <p>turn {bolt}</p>;",
        'const A = () => <input placeholder="code" />;',
        'const A = () => <button aria-label={open ? "close" : x}>×</button>;',
        "const A = () => <Field label={`Bolt ${bolt}`} />;",
        'const A = () => <p>{loose ? "loose" : "x"}</p>;',
        'const WORDS = { seized: "Seized" };',
        'notify("the frame is lost");',
        "const said = `${count} bolts of ${code}`;",
        'const text = "Turn the bolt " + bolt;',
    ],
)
def test_an_unmarked_text_is_found(built_pages: Path, tmp_path: Path, code: str) -> None:
    assert "src/view.jsx:1: not marked:" in a_project(tmp_path, code, "")


@pytest.mark.parametrize(
    "code",
    [
        'const A = () => <p class="is loose" data-kind="Loose one">3 mm · {x} N/cm</p>;',
        'if (kind === "Enter" || page.querySelector("thead th")) throw new Error("no such page");',
        "router.go(`card`, { code });",
    ],
)
def test_what_is_said_to_the_program_is_no_text(
    built_pages: Path, tmp_path: Path, code: str
) -> None:
    assert a_project(tmp_path, code, "") == ""


@pytest.mark.parametrize(
    ("entry", "fault"),
    [
        ('msgid "Turn {0}"\nmsgstr "{0} drehen"', None),
        ('msgid "Turn {0}"\nmsgstr ""', "not translated: Turn {0}"),
        ('#, fuzzy\nmsgid "Turn {0}"\nmsgstr "{0} drehen"', "fuzzy: Turn {0}"),
        ('msgid "Turn {0}"\nmsgstr "{1} drehen"', "placeholders differ: Turn {0}"),
        ('msgid "Turn it"\nmsgstr "Drehen"', "not as the sources are"),
    ],
    ids=["whole", "empty", "fuzzy", "placeholders", "stale"],
)
def test_faults_of_a_catalogue_are_found(
    built_pages: Path, tmp_path: Path, entry: str, fault: str | None
) -> None:
    said = a_project(tmp_path, "said(t`Turn ${bolt}`);", f"\n#: src/view.jsx\n{entry}\n")
    assert fault in said if fault else said == ""


def german_of(path: Path, *folders: str) -> dict[tuple[str, ...], list[str]]:
    """German by English, of what stands in a file of these folders; a plural's count is {0}."""
    with path.open("rb") as file:
        book = pofile.read_po(file)
    texts = [m for m in book if m.id and any(at.startswith(folders) for at, _ in m.locations)]
    single = {(_forms(m.id)[0],): _forms(m.string)[:1] for m in texts}
    return {**single, **{tuple(_forms(m.id)): _forms(m.string) for m in texts}}


def _forms(text: str | tuple[str, ...]) -> list[str]:
    return [_numbered(one) for one in ([text] if isinstance(text, str) else text)]


def _numbered(form: str) -> str:
    """A form with a count as the server has it: {0} is the count, the values follow."""
    if "#" not in form:
        return form
    places = sorted(set(re.findall(r"\{\d\}", form)))
    later = {place: f"{{{at}}}" for at, place in enumerate(places, 1)}
    return re.sub(r"\{\d\}", lambda found: later[found[0]], form).replace("#", "{0}")


def test_phone_and_server_say_the_same_in_german() -> None:
    """What the phone works out itself is said by the server too."""
    phone = german_of(GERMAN, "src/phone/advice/", "src/phone/fold/")
    server = german_of(catalogue.PO, "frames/")
    differ = {
        key: (german, server.get(key)) for key, german in phone.items() if german != server.get(key)
    }
    assert len(phone) > 150
    assert not differ, "\n".join(f"{key}: {german}" for key, german in differ.items())
