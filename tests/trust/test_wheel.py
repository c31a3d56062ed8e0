"""The wheel: built, installed into an empty environment, run where there is no Node and no source.

The packages that it depends on are lent by the environment of the tests, so that nothing is
fetched; everything of our own comes from the wheel.
"""

import os
import re
import sqlite3
import subprocess
import sys
import sysconfig
import urllib.request
import venv
import zipfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from shopfloor.launch import interpreter
from tests.launch.test_start import Started
from tests.shop_process import OWN, ROOT, free_port

WHERE = "import frames, shopfloor.places as p; print(frames.__file__); print(p.ROOT)"


@pytest.fixture(scope="module")
def wheel(built_pages: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("wheel")
    command = [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(folder)]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, timeout=300)
    assert done.returncode == 0, done.stderr
    (found,) = folder.glob("*.whl")
    return found


@pytest.fixture(scope="module")
def home(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An environment with the wheel in it, in whose folder of programs there is no Node."""
    home = tmp_path_factory.mktemp("empty") / "env"
    venv.create(home, with_pip=True)
    options = ("--no-index", "--no-deps", "--disable-pip-version-check", "-q")
    pip = [str(home / "bin/python"), "-m", "pip", "install", *options, str(wheel)]
    done = subprocess.run(pip, capture_output=True, text=True, timeout=300)
    assert done.returncode == 0, done.stderr
    (site,) = home.glob("lib/python*/site-packages")
    (site / "lent.pth").write_text(sysconfig.get_paths()["purelib"])
    return home


@pytest.fixture
def env(home: Path, tmp_path: Path) -> dict[str, str]:
    kept = {n: v for n, v in os.environ.items() if n not in (*OWN, "PYTHONPATH", "TAUTBOOK_DATA")}
    return {**kept, "PATH": str(home / "bin"), "HOME": str(tmp_path)}


@pytest.fixture
def demo(home: Path, env: dict[str, str], tmp_path: Path) -> Iterator[Started]:
    words = [str(home / "bin/tautbook"), "demo", "--port", str(free_port())]
    one = Started(env, *words, program=(), folder=tmp_path)
    yield one
    one.kill()


def test_it_carries_pages_templates_and_demo_and_no_tests(wheel: Path) -> None:
    names = set(zipfile.ZipFile(wheel).namelist())
    packed = {name for name in names if name.startswith("shopfloor/packed/")}
    for one in ("templates/phone/shell.html", "static/dist/phone.js", "static/dist/sw.js",
                "static/icons/icon.svg", "demo_fixtures/log.jsonl",
                "demo_fixtures/generate/full.py"):  # fmt: skip
        assert f"shopfloor/packed/{one}" in packed
    assert not [name for name in names if name.startswith(("tests/", "static/", ".tautbook"))]
    assert not [name for name in names if "secret" in name and not name.endswith(".py")]


def test_one_command_starts_the_demo_without_node_or_source(
    home: Path, env: dict[str, str], demo: Started, tmp_path: Path
) -> None:
    python = [str(home / "bin/python"), "-c", WHERE]
    where = subprocess.run(python, env=env, cwd=tmp_path, capture_output=True, text=True).stdout
    assert all(str(home.resolve()) in line for line in where.splitlines())
    assert str(ROOT) not in where

    said = demo.wait()
    origin = re.search(r"running: (http://localhost:\d+)", said)[1]
    shell = fetch(f"{origin}/")
    (script,) = re.findall(r'src="(/static/phone\.\w+\.js)"', shell)
    assert len(fetch(origin + script)) > 50_000
    assert "Sign in" in fetch(f"{origin}/office/")
    assert "TAUTBOOK_BUILD" in fetch(f"{origin}/sw.js")
    with sqlite3.connect(tmp_path / ".tautbook/demo/tautbook.sqlite3") as book:
        assert book.execute("SELECT count(*) FROM frames_frame").fetchone() == (40,)


def fetch(address: str) -> str:
    with urllib.request.urlopen(address, timeout=20) as answer:
        return answer.read().decode()


def test_its_other_commands_work_too(home: Path, env: dict[str, str], tmp_path: Path) -> None:
    def tautbook(*words: str) -> subprocess.CompletedProcess[str]:
        command = [str(home / "bin/tautbook"), *words]
        return subprocess.run(
            command, env=env, cwd=tmp_path, capture_output=True, text=True, timeout=120
        )

    assert tautbook("--version").stdout == f"Tautbook {interpreter.version()}\n"
    assert tautbook("migrate", "--verbosity", "0").returncode == 0
    assert tautbook("load_demo").returncode == 0
    assert "opened and counted" in tautbook("backup").stdout
    assert "PUBLIC_ORIGIN is not set" in tautbook("start").stderr
    assert "tautbook start" in tautbook("start").stderr
    assert "run them in a checkout" in tautbook("verify").stderr
