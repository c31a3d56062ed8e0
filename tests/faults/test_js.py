"""Runs the JavaScript tests, and makes sure that they did run."""

import re
import subprocess
from pathlib import Path

from shopfloor.launch import node
from tests.source_tree import ROOT

LEAST = 100


def test_the_javascript_tests_pass(built_pages: Path) -> None:
    """`built_pages` has fetched the packages that they import."""
    files = sorted(str(path.relative_to(ROOT)) for path in ROOT.glob("tests/js/**/*.test.*js"))
    command = [*node.find().node, "--test", "--test-reporter=tap", *files]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, timeout=300)
    assert done.returncode == 0, f"{failures(done.stdout)}\n{done.stderr}"
    assert count("pass", done.stdout) >= LEAST, done.stdout[-2000:]
    assert count("fail", done.stdout) == count("skipped", done.stdout) == 0


def count(word: str, tap: str) -> int:
    found = re.search(rf"^# {word} (\d+)$", tap, re.MULTILINE)
    return int(found[1]) if found else -1


def failures(tap: str) -> str:
    """What failed, with its own lines: the rest of the output only hides it."""
    parts = re.split(r"^(?=\s*(?:not )?ok )", tap, flags=re.MULTILINE)
    return "".join(part for part in parts if part.lstrip().startswith("not ok")) or tap[-4000:]
