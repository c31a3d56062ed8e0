"""No file and no function grows past what one can read in one go."""

import ast
import gzip
import re
import subprocess
from pathlib import Path

import pytest

from shopfloor.launch import node
from tests.source_tree import ROOT, SIZED, files, python_files, relative

LONGEST_FILE = 450
LONGEST_FUNCTION = 60
SHELL_SCRIPT_KB = 60
# Written by makemigrations and, for locks and data, by their tools.
GENERATED = re.compile(r"/migrations/")


def test_no_file_is_too_long() -> None:
    long = {
        relative(path): lines
        for path in files()
        if path.suffix in SIZED and not GENERATED.search(relative(path))
        if (lines := len(path.read_text("utf-8").splitlines())) > LONGEST_FILE
    }
    assert not long


def test_no_python_function_is_too_long() -> None:
    long = [
        f"{relative(path)}:{each.lineno} {each.name}"
        for path in python_files("frames", "shopfloor", "tests", "manage.py", "demo_fixtures")
        for each in ast.walk(ast.parse(path.read_text("utf-8")))
        if isinstance(each, ast.FunctionDef | ast.AsyncFunctionDef)
        and (each.end_lineno or 0) - each.lineno + 1 > LONGEST_FUNCTION
    ]
    assert not long


def test_no_javascript_function_is_too_long(built_pages: Path) -> None:
    scripts = [str(path) for path in files() if path.suffix in {".js", ".mjs", ".jsx"}]
    command = [*node.find().node, "tests/function_lengths.mjs", str(LONGEST_FUNCTION), *scripts]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    assert done.stdout == ""


def test_every_python_function_says_what_it_returns() -> None:
    silent = [
        f"{relative(path)}:{each.lineno} {each.name}"
        for path in python_files("frames", "shopfloor", "tests", "manage.py", "demo_fixtures")
        for each in ast.walk(ast.parse(path.read_text("utf-8")))
        if isinstance(each, ast.FunctionDef | ast.AsyncFunctionDef) and each.returns is None
    ]
    assert not silent


@pytest.mark.parametrize("name", ["phone.js"])
def test_the_shell_loads_fast_on_a_slow_line(built_pages: Path, name: str) -> None:
    size = len(gzip.compress((built_pages / name).read_bytes(), 9))
    assert size <= SHELL_SCRIPT_KB * 1024, f"{name} is {size / 1024:.1f} KB gzipped"
