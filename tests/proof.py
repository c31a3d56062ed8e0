"""Which test proves which promise and which fault, read off the tests themselves.

A fault is in a test's name: `def test_f12_what_happens`, in JavaScript `test("F12: what happens"`;
`test_f31_f32_…` is about both. A promise is a mark: `@pytest.mark.promise(8, 9)`, in JavaScript a
name that begins with "promise 8: ".
"""

import ast
import re
from collections import defaultdict
from collections.abc import Iterator
from pathlib import Path

from tests.source_tree import ROOT

PROMISES = {
    1: "saved means saved",
    2: "one effect per entry id",
    3: "out of the outbox by a receipt alone; a refused one stays, with a copy on the server",
    4: "one bad entry never stops the others",
    5: "the feed misses nothing, on SQLite and PostgreSQL",
    6: "at rest, server, replay and phones hold the same",
    7: "after a restore, what phones hold comes back by itself",
    8: "a new version with a full outbox loses nothing",
    9: "expired, signed out or blocked: the outbox pauses and is never emptied",
    10: "what is unsent is always on screen, and the office sees each phone's gaps",
    11: "the outbox goes into a file without a network, and in again harmlessly twice",
    12: "a wrong clock is noted, never a reason to refuse",
}

# There is no fault 8.
FAULTS = {
    1: "the same batch twice, also at once",
    2: "the answer is lost after the commit",
    3: "the request is lost",
    4: "batches in another order, overlapping",
    5: "cut in the middle of body, answer or gzip",
    6: "a portal answers in place of the server",
    7: "killed before, during and after a write",
    9: "two tabs, or a tab and the installed app",
    10: "a lease that is stuck",
    11: "a clock a day off, or one that jumps",
    12: "a new schema with a full outbox, throwing, blocked",
    13: "a new service worker with a full outbox, and offline",
    14: "a new app with an old server, and the reverse",
    15: "the phone's storage is full",
    16: "the browser threw the storage away",
    17: "the database is closed in the background",
    18: "a private window",
    19: "the server is restored from an older backup",
    20: "a phone's profile is copied",
    21: "a part of a batch fails",
    22: "poison: undecodable, too big, of an unknown kind",
    23: "the same id with another body",
    24: "the sign-in ends in the middle of sending",
    25: "a phone is blocked with unsent entries",
    26: "another operator between saving and sending",
    27: "429, 503, 413",
    28: "the server is killed between insert and answer",
    29: "numbers taken in one order and committed in another",
    30: "the database is locked, the disk full or read-only",
    31: "weeks offline, a very old place in the feed",
    32: "ten thousand entries on a slow line",
    33: "the frame was retired meanwhile",
    34: "a phone is lost",
    35: "a label of another shop, or of an old host",
    36: "the browser is wrong about being online",
    37: "an upload that hangs",
    38: "a wake-up twice, late, or never",
}

SCRIPT_TEST = re.compile(r"""^\s*test\(\s*["'`](.+?)["'`],""", re.M)
IN_NAME = re.compile(r"f(\d+)(?=_)")
Found = dict[int, list[str]]


def of_faults() -> Found:
    """Tests by fault, each as `file::name` or `file: title`."""
    found: Found = defaultdict(list)
    for path, test, _ in _python_tests():
        begin = re.match(r"test_((?:f\d+_)+)", test)
        for number in IN_NAME.findall(begin[1]) if begin else []:
            found[int(number)].append(f"{path}::{test}")
    for path, title in _script_tests():
        if begin := re.match(r"((?:F\d+ ?)+): ", title):
            for number in re.findall(r"F(\d+)", begin[1]):
                found[int(number)].append(f"{path}: {title}")
    return dict(found)


def of_promises() -> Found:
    found: Found = defaultdict(list)
    for path, test, promises in _python_tests():
        for number in promises:
            found[number].append(f"{path}::{test}")
    for path, title in _script_tests():
        if begin := re.match(r"promise (\d+): ", title):
            found[int(begin[1])].append(f"{path}: {title}")
    return dict(found)


def _python_tests() -> Iterator[tuple[str, str, list[int]]]:
    """File, name and promises of every test function."""
    for path in sorted(ROOT.glob("tests/**/test_*.py")):
        module = ast.parse(path.read_text("utf-8"))
        whole = [
            node.value
            for node in module.body
            if isinstance(node, ast.Assign) and ast.unparse(node.targets[0]) == "pytestmark"
        ]
        for node in ast.walk(module):
            if isinstance(node, ast.FunctionDef) and node.name.startswith("test_"):
                yield _short(path), node.name, _promises([*whole, *node.decorator_list])


def _promises(marks: list[ast.expr]) -> list[int]:
    return [
        int(number.value)
        for mark in marks
        if isinstance(mark, ast.Call) and ast.unparse(mark.func) == "pytest.mark.promise"
        for number in mark.args
        if isinstance(number, ast.Constant)
    ]


def _script_tests() -> Iterator[tuple[str, str]]:
    for path in sorted(ROOT.glob("tests/js/**/*.test.mjs")):
        for title in SCRIPT_TEST.findall(path.read_text("utf-8")):
            yield _short(path), title


def _short(path: Path) -> str:
    return str(path.relative_to(ROOT))


def table(names: dict[int, str], found: Found, letter: str = "") -> str:
    """One line for each number with its tests, files first."""
    lines = ["| | what | tests |", "|---|---|---|"]
    for number, what in names.items():
        tests = " ".join(f"`{test}`" for test in found.get(number, [])) or "none"
        lines.append(f"| {letter}{number} | {what} | {tests} |")
    return "\n".join(lines)
