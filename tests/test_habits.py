"""Linters and types, run from here so that one command runs everything."""

import os
import subprocess
import sys
from pathlib import Path

from shopfloor.launch import node, pages
from tests.source_tree import ROOT


def run(command: list[str], folder: Path, **env: str) -> str:
    done = subprocess.run(
        command, cwd=folder, env={**os.environ, **env}, capture_output=True, text=True
    )
    assert done.returncode == 0, f"{done.stdout[-8000:]}\n{done.stderr[-2000:]}"
    return done.stdout


def test_ruff_finds_nothing() -> None:
    run([sys.executable, "-m", "ruff", "check", "--no-cache"], ROOT)


def test_python_is_formatted() -> None:
    run([sys.executable, "-m", "ruff", "format", "--check", "--no-cache"], ROOT)


def test_javascript_types_hold(built_pages: Path) -> None:
    program = pages.FOLDER / "node_modules/typescript/bin/tsc"
    run([*node.find().node, str(program), "--noEmit"], pages.FOLDER)
