"""A kind of entry is known everywhere or nowhere: this fails until each place has a new one."""

import json
import subprocess
from pathlib import Path

import pytest

from frames.entries import ACTS, KINDS
from shopfloor.launch import node
from shopfloor.office.telling import TELLERS
from shopfloor.office.words import KINDS as OFFICE_WORDS
from tests.source_tree import ROOT

PHONE = ROOT / "static/src/phone"
FOLD = ("frames/effects.py", "frames/folding.py")
# Recorded and told, but state does not change by them beyond "last seen".
ONLY_TOLD = {"washed", "note", "turn_plan", "ok_sheet", "stretch_step"}


def javascript_keys(module: str, name: str) -> set[str]:
    source = f"import {{ {name} }} from {(PHONE / module).as_uri()!r}; "
    source += f"console.log(JSON.stringify(Object.keys({name})))"
    command = [*node.find().node, "--input-type=module", "-e", source]
    done = subprocess.run(command, capture_output=True, text=True, check=True)
    return set(json.loads(done.stdout))


def text_of(*paths: Path) -> str:
    return "\n".join(path.read_text("utf-8") for path in paths)


def test_the_phone_has_words_for_exactly_these_kinds() -> None:
    assert javascript_keys("entries/kinds.js", "KINDS") == set(KINDS)


def test_the_office_has_words_for_exactly_these_kinds() -> None:
    assert set(OFFICE_WORDS) == set(KINDS)


def test_the_office_can_tell_each() -> None:
    assert set(TELLERS) | set(ACTS) >= set(KINDS)


@pytest.mark.parametrize("kind", sorted(set(KINDS) - ONLY_TOLD))
def test_both_folds_know_what_it_does(kind: str) -> None:
    assert f'"{kind}"' in text_of(*(ROOT / name for name in (*FOLD, "frames/entries.py")))
    phone = text_of(*PHONE.glob("fold/*.js"))
    assert f'"{kind}"' in phone or f"{kind}:" in phone or f"  {kind},\n" in phone


@pytest.mark.parametrize("kind", KINDS)
def test_shared_vectors_hold_it(kind: str) -> None:
    cases = json.loads((ROOT / "tests/vectors/fold.json").read_text("utf-8"))["fold"]
    assert any(entry["kind"] == kind for case in cases for entry in case["entries"])


@pytest.mark.parametrize("kind", KINDS)
def test_the_demo_shop_has_one(kind: str) -> None:
    log = (ROOT / "demo_fixtures/log.jsonl").read_text("utf-8")
    assert any(
        json.loads(line)["entry"]["kind"] == kind for line in log.splitlines() if line.strip()
    )
