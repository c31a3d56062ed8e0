"""The examples in the docstrings run, and every public name has a docstring."""

import ast
import doctest
import importlib
from pathlib import Path

import pytest

import frames.mechanics

FOLDER = Path(frames.mechanics.__file__).parent
MODULES = sorted(p.stem for p in FOLDER.glob("*.py") if p.stem != "__init__")


@pytest.mark.parametrize("name", MODULES)
def test_examples(name: str) -> None:
    module = importlib.import_module(f"frames.mechanics.{name}")
    assert doctest.testmod(module).failed == 0


@pytest.mark.parametrize("name", MODULES)
def test_every_public_name_is_described(name: str) -> None:
    tree = ast.parse((FOLDER / f"{name}.py").read_text("utf-8"))
    kinds = ast.FunctionDef | ast.ClassDef
    public = [n for n in ast.walk(tree) if isinstance(n, kinds) and not n.name.startswith("_")]
    inner = {id(x) for f in public if isinstance(f, ast.FunctionDef) for x in ast.walk(f)} - {
        id(f) for f in public if not any(f in ast.walk(g) and f is not g for g in public)
    }
    silent = [n.name for n in public if id(n) not in inner and not ast.get_docstring(n)]
    assert ast.get_docstring(tree)
    assert not silent


def test_most_functions_show_an_example() -> None:
    shown = sum(">>>" in (FOLDER / f"{n}.py").read_text("utf-8") for n in MODULES)
    assert shown >= 0.75 * len(MODULES)


def test_every_name_of_the_package_can_be_fetched() -> None:
    for name in frames.mechanics.__all__:
        assert getattr(frames.mechanics, name).__doc__
