"""Pages are fetched and built when something changed, and only then."""

import json
import os
import stat
from pathlib import Path

import pytest

from shopfloor.launch import node, pages

LOCK = {
    "": {"name": "pages"},
    "node_modules/runs": {"version": "1.0.0"},
    "node_modules/tests": {"version": "2.0.0", "dev": True},
    "node_modules/other-system": {"version": "3.0.0", "optional": True},
}


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    for name in ("src", "node_modules", "icons"):
        (tmp_path / name).mkdir()
    (tmp_path / "build.mjs").write_text("// builds", "utf-8")
    (tmp_path / "package-lock.json").write_text(json.dumps({"packages": LOCK}), "utf-8")
    (tmp_path / "src/main.js").write_text("start()", "utf-8")
    monkeypatch.setattr(pages, "FOLDER", tmp_path)
    monkeypatch.setattr(pages, "_FETCHED", tmp_path / "node_modules/.package-lock.json")
    return tmp_path


def fetched(folder: Path, **versions: str) -> None:
    have = {f"node_modules/{name}": {"version": version} for name, version in versions.items()}
    listed = folder / "node_modules/.package-lock.json"
    listed.write_text(json.dumps({"packages": have}), "utf-8")


def test_nothing_fetched_lacks_everything(folder: Path) -> None:
    assert pages._lacks_packages(tools=False)


def test_the_demo_does_without_the_tools_of_the_tests(folder: Path) -> None:
    fetched(folder, runs="1.0.0")
    assert not pages._lacks_packages(tools=False)
    assert pages._lacks_packages(tools=True)


def test_another_version_is_fetched_again(folder: Path) -> None:
    fetched(folder, runs="1.0.1", tests="2.0.0")
    assert pages._lacks_packages(tools=False)


def test_packages_of_other_systems_are_not_missed(folder: Path) -> None:
    fetched(folder, runs="1.0.0", tests="2.0.0")
    assert not pages._lacks_packages(tools=True)


@pytest.mark.parametrize("changed", ["src/main.js", "build.mjs", "package-lock.json"])
def test_a_changed_source_changes_the_digest(folder: Path, changed: str) -> None:
    before = pages.digest(pages._sources())
    with (folder / changed).open("a", encoding="utf-8") as file:
        file.write(" ")
    assert pages.digest(pages._sources()) != before


def test_a_moved_source_changes_the_digest(folder: Path) -> None:
    before = pages.digest(pages._sources())
    (folder / "src/main.js").rename(folder / "src/other.js")
    assert pages.digest(pages._sources()) != before


@pytest.mark.skipif(os.name == "nt", reason="stands in for programs by shell scripts")
@pytest.mark.parametrize(("version", "does"), [("v18.20.1", False), ("v20.1.0", True), ("", False)])
def test_an_old_node_will_not_do(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, version: str, does: bool
) -> None:
    for name in ("node", "npm"):
        program = tmp_path / name
        program.write_text(f"#!/bin/sh\necho {version}\n", "utf-8")
        program.chmod(program.stat().st_mode | stat.S_IXUSR)
    monkeypatch.setenv("PATH", str(tmp_path))
    assert (node._of_machine() is not None) == does


def test_no_node_on_the_path_is_noticed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", str(tmp_path))
    assert node._of_machine() is None
