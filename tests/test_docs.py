"""Documentation says what the code does: settings, commands, kinds, promises."""

import re
import tomllib

import pytest

import manage
from tests import printed_docs, proof
from tests.source_tree import ROOT

README = (ROOT / "README.md").read_text("utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text("utf-8")
PROMISES, FAULTS = 12, 37


def test_printed_parts_are_fresh() -> None:
    fresh = printed_docs.renewed(DEVELOPERS)
    assert fresh == DEVELOPERS, "run: python -m tests.printed_docs"


def test_the_readme_lists_exactly_the_settings_that_are_read() -> None:
    settings = (ROOT / "shopfloor/settings.py").read_text("utf-8")
    read = set(re.findall(r"\benv\.\w+\(\s*\"([A-Z_]+)\"", settings))
    assert read
    listed = re.findall(r"^\| (`[A-Z_]+`(?:, `[A-Z_]+`)*) \|", README, re.M)
    assert set(re.findall(r"[A-Z_]+", " ".join(listed))) == read


def test_the_readme_shows_the_launching_commands_as_they_are_typed() -> None:
    shown = set(re.findall(r"^    (?:PUBLIC_ORIGIN=\S+ )?python3 manage\.py (\w+)$", README, re.M))
    assert shown == set(manage.LAUNCHING)
    assert shown <= set(printed_docs.own_commands())


def test_the_newest_of_the_changes_is_this_version() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    newest = re.search(r"## Changes\n\n- \*\*([\d.]+)\*\*", README)
    assert newest is not None
    assert project["version"] == f"{newest[1]}.0"


def test_every_command_in_the_docs_exists() -> None:
    from django.core.management import get_commands

    mentioned = set(re.findall(r"manage\.py (\w+)", README + DEVELOPERS))
    assert mentioned <= set(get_commands())


def test_ci_runs_the_test_command_of_the_readme() -> None:
    script = (ROOT / ".ci/run").read_text("utf-8")
    assert "python3 manage.py verify" in script
    assert "python3 manage.py verify" in README


def test_the_twelve_promises_are_printed() -> None:
    section = README.split("## What it promises")[1].split("\n## ")[0]
    printed = re.findall(r"^(\d+)\. ", section, re.M)
    assert [int(number) for number in printed] == list(range(1, PROMISES + 1))


def test_every_promise_and_every_fault_has_a_test_that_names_it() -> None:
    assert list(proof.PROMISES) == list(range(1, PROMISES + 1))
    assert len(proof.FAULTS) == FAULTS
    assert sorted(proof.of_promises()) == sorted(proof.PROMISES)
    assert sorted(proof.of_faults()) == sorted(proof.FAULTS)


@pytest.mark.parametrize("document", ["README.md", "DEVELOPERS.md"])
def test_files_that_documents_name_exist(document: str) -> None:
    text = (ROOT / document).read_text("utf-8")
    named = re.findall(r"`((?:frames|shopfloor|static|tests|templates|\.ci)/[\w./-]*)`", text)
    built = ("static/dist",)
    assert [
        name for name in named if not name.startswith(built) if not (ROOT / name).exists()
    ] == []
