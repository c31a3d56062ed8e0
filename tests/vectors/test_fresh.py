"""The vector files say what the code does, and hold what both languages have to be shown."""

import json

import pytest

from frames.codes import parse_code
from frames.entries import KINDS
from tests.vectors import generate

FILES = generate.files()


def read(name: str) -> dict:
    return json.loads((generate.HERE / name).read_text(encoding="utf-8"))


@pytest.mark.parametrize("name", FILES)
def test_files_are_what_the_code_says_now(name: str) -> None:
    assert (generate.HERE / name).read_text(encoding="utf-8") == FILES[name], (
        "run `python -m tests.vectors.generate` and look at what changed"
    )


def test_every_kind_and_every_ending_occurs() -> None:
    cases = read("fold.json")["fold"]
    kinds = {entry["kind"] for case in cases for entry in case["entries"]}
    screens = [screen for case in cases for screen in case["state"]["screens"].values()]
    assert len(cases) >= 200
    assert kinds >= KINDS.keys()
    assert {screen["ended"]["how"] for screen in screens if screen["ended"]} == {
        "burst",
        "removed",
        "replaced",
        "scrapped",
    }


def test_every_word_of_a_condition_occurs() -> None:
    words = {case["condition"]["word"] for case in read("fold.json")["conditions"]}
    assert words == {"unknown", "low", "high", "uneven", "holding", "resting", "due"}


def test_codes_read_back() -> None:
    for case in read("codes.json")["codes"]:
        code = parse_code(case["code"])
        assert (code.prefix, code.number) == (case["prefix"], case["number"])
