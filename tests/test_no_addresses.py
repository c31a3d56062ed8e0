"""Lock files name what to fetch, never where from; no file knows the machine it was made on."""

import json
import re
import tempfile
from pathlib import Path

import pytest

from tests.source_tree import ROOT, files, relative

REGISTRY = re.compile(r"(?:https?:)?//(?:registry|files|pypi|npm|index)\.", re.I)
MACHINE = re.compile(
    # The folders that this very checkout, home and scratch space lie in, whatever they are.
    "|".join(
        re.escape(f"{folder}/") + r"\w"
        for folder in {str(ROOT.parent), str(Path.home()), tempfile.gettempdir()}
        if folder != "/"
    )
)


@pytest.mark.parametrize("folder", [".", "tests", "static"])
def test_python_locks_have_hashes_and_no_addresses(folder: str) -> None:
    text = (ROOT / folder / "requirements.lock").read_text("utf-8")
    assert "://" not in text
    pinned = re.split(r"\n(?=\S)", text.strip())
    assert all("--hash=sha256:" in one for one in pinned)
    assert all(re.match(r"[\w.-]+==\d", one) for one in pinned)


def test_the_test_lock_holds_the_running_lock() -> None:
    """Both are resolved together, so that tests run on what the shop runs on."""
    running, testing = (
        set(re.findall(r"^[\w.-]+==[^ \\]+", (ROOT / name).read_text("utf-8"), re.M))
        for name in ("requirements.lock", "tests/requirements.lock")
    )
    assert running
    assert running <= testing


def test_locks_hold_every_dependency(pytestconfig: pytest.Config) -> None:
    import tomllib

    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    wanted = project["dependencies"] + project["optional-dependencies"]["test"]
    text = (ROOT / "tests/requirements.lock").read_text("utf-8").lower()
    names = [re.match(r"[\w.-]+", one)[0].lower() for one in wanted]
    assert [name for name in names if not re.search(rf"^{re.escape(name)}==", text, re.M)] == []


def test_the_npm_lock_has_hashes_and_no_addresses() -> None:
    packages = json.loads((ROOT / "static/package-lock.json").read_text("utf-8"))["packages"]
    others = {name: one for name, one in packages.items() if name}
    assert others
    assert not [name for name, one in others.items() if "resolved" in one]
    assert not [name for name, one in others.items() if "integrity" not in one]


def test_no_file_names_a_registry_or_a_place_on_this_machine() -> None:
    found = []
    for path in files():
        text = path.read_bytes().decode("utf-8", "ignore")
        for pattern in (REGISTRY, MACHINE):
            found += [f"{relative(path)}: {match[0]}" for match in pattern.finditer(text)]
    assert not found
