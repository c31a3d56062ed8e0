"""The house has one direction: who may import what, by the table in import_table.py."""

import ast
import json
import re
import subprocess
import sys
from pathlib import Path

import pytest

from shopfloor.launch import node, pages
from tests.import_table import JAVASCRIPT, NEVER, PYTHON
from tests.source_tree import ROOT, files, module_name, python_files, relative

SOURCES = python_files("frames", "shopfloor")


def row_of(module: str, table: dict[str, object]) -> str:
    """The most exact row that the module falls under; empty where there is none."""
    fitting = [row for row in table if under(module, row)]
    return max(fitting, key=len, default="")


def under(module: str, row: str) -> bool:
    return module == row or module.startswith((f"{row}.", f"{row}/"))


def imports(path: Path) -> set[str]:
    """Absolute names of all modules that a file imports, wherever in it."""
    package = module_name(path).split(".")
    if path.name != "__init__.py":
        package = package[:-1]
    found: set[str] = set()
    for each in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(each, ast.Import):
            found |= {alias.name for alias in each.names}
        elif isinstance(each, ast.ImportFrom):
            base = package[: len(package) - each.level + 1] if each.level else []
            stem = ".".join([*base, *([each.module] if each.module else [])])
            found |= {_deeper(stem, alias.name) for alias in each.names}
    return found


def _deeper(stem: str, name: str) -> str:
    """`from frames import log` imports the module frames.log; `from frames.log import x` not."""
    place = ROOT.joinpath(*stem.split("."), name)
    return f"{stem}.{name}" if place.with_suffix(".py").exists() or place.is_dir() else stem


@pytest.mark.parametrize("path", SOURCES, ids=relative)
def test_python_imports_keep_to_the_table(path: Path) -> None:
    module = module_name(path)
    row = row_of(module, PYTHON)
    assert row, f"{module} has no row in tests/import_table.py: decide what it may import"
    house, outside = (words.split() for words in PYTHON[row])
    never = NEVER.get(row_of(module, NEVER), "").split()
    for name in imports(path):
        if name.split(".")[0] in ("frames", "shopfloor"):
            allowed = under(name, row) or any(under(name, one) for one in house)
            assert allowed, f"{module} may not import {name}"
            assert not any(under(name, one) for one in never), f"{module} may never import {name}"
        elif name.split(".")[0] not in sys.stdlib_module_names:
            assert name.split(".")[0] in outside, f"{module} may not import {name}"


@pytest.mark.parametrize("module", ["frames.mechanics", "frames.folding", "shopfloor.authority"])
def test_pure_parts_load_without_django(module: str) -> None:
    source = f"import sys, {module}; sys.exit('django' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", source], cwd=ROOT).returncode == 0


def test_the_bootstrap_needs_nothing_but_the_standard_library() -> None:
    """On a machine with only Python, these are what runs before anything is installed."""
    names = ["steps", "packages", "interpreter", "address", "node", "pages", "server"]
    source = "".join(f"import shopfloor.launch.{name};" for name in names)
    assert subprocess.run([sys.executable, "-I", "-S", "-c", _path_first(source)]).returncode == 0


def _path_first(source: str) -> str:
    return f"import sys; sys.path.insert(0, {str(ROOT)!r}); {source}"


@pytest.fixture(scope="module")
def graph(built_pages: Path) -> dict[str, dict[str, list[dict[str, str]]]]:
    """Who imports whom, as the bundler resolved it."""
    command = [*node.find().node, "build.mjs", "--graph"]
    done = subprocess.run(command, cwd=pages.FOLDER, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


def test_javascript_imports_keep_to_the_table(graph: dict[str, dict[str, list]]) -> None:
    wrong = []
    for source, facts in graph.items():
        if not source.startswith("src/"):
            continue
        module = source.removeprefix("src/")
        row = row_of(module, JAVASCRIPT)
        assert row, f"{module} has no row in tests/import_table.py: decide what it may import"
        house, outside = (words.split() for words in JAVASCRIPT[row])
        for one in facts["imports"]:
            target = one["path"]
            if package := re.match(r"node_modules/((?:@[^/]+/)?[^/]+)", target):
                fine = package[1] in outside
            elif target.startswith("src/"):
                target = target.removeprefix("src/")
                fine = under(target, row) or any(under(target, each) for each in house)
            else:
                fine = one.get("external", False) or target.startswith("<runtime>")
            wrong += [] if fine else [f"{module} may not import {target}"]
    assert not wrong, "\n".join(wrong)


def test_views_and_ui_do_not_fetch() -> None:
    """The page asks the store; only sync, wired up in main, speaks to the network."""
    for path in files():
        if relative(path).startswith(("static/src/phone/views", "static/src/phone/store")):
            assert not re.search(r"(?<![.\w])fetch\(", path.read_text("utf-8")), relative(path)


def test_no_room_is_a_drawer_for_everything() -> None:
    drawers = {"util", "utils", "helper", "helpers", "common", "misc", "manager", "handler"}
    names = {relative(path): path.stem.strip("_") for path in files()}
    assert not [path for path, stem in names.items() if stem in drawers]
