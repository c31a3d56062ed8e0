"""Making the environment on a machine that has nothing but Python."""

import hashlib
import subprocess
import sys
import zipfile
from importlib import util
from pathlib import Path

import pytest

import manage
from shopfloor.launch import interpreter
from shopfloor.launch.steps import Stop
from tests.shop_process import ROOT

WHEEL = "speck-1.0-py3-none-any.whl"
METADATA = "Metadata-Version: 2.1\nName: speck\nVersion: 1.0\n"
KIND = "Wheel-Version: 1.0\nGenerator: tests\nRoot-Is-Purelib: true\nTag: py3-none-any\n"
SCRIPT = "[console_scripts]\nspeck = speck:main\n"


@pytest.fixture
def lock(tmp_path: Path) -> Path:
    """A lock naming one small package by file and hash, so that nothing is fetched."""
    inside = {
        "speck.py": "def main(): print('a speck')\n",
        "speck-1.0.dist-info/METADATA": METADATA,
        "speck-1.0.dist-info/WHEEL": KIND,
        "speck-1.0.dist-info/entry_points.txt": SCRIPT,
        "speck-1.0.dist-info/RECORD": "",
    }
    with zipfile.ZipFile(tmp_path / WHEEL, "w") as wheel:
        for name, text in inside.items():
            wheel.writestr(name, text)
    digest = hashlib.sha256((tmp_path / WHEEL).read_bytes()).hexdigest()
    lock = tmp_path / "speck.lock"
    lock.write_text(f"{(tmp_path / WHEEL).as_uri()} --hash=sha256:{digest}\n", "utf-8")
    return lock


@pytest.fixture
def home(tmp_path: Path, lock: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr(interpreter, "HOME", tmp_path / ".venv")
    monkeypatch.setattr(interpreter, "LOCKS", {"run": lock, "test": lock})
    return tmp_path / ".venv"


def test_the_running_environment_is_complete_and_used_as_it_is() -> None:
    assert interpreter.missing("run") == []
    assert interpreter.missing("test") == []


def test_versions_count_too() -> None:
    assert interpreter._holds("django", ">=5.2,<5.3")
    assert not interpreter._holds("django", ">=6")
    assert not interpreter._holds("django", "<5.0")
    assert not interpreter._holds("no-such-package-here", "")


def test_it_clears_a_half_made_folder_and_ends_with_working_scripts(home: Path) -> None:
    leftover = home.with_name(".venv.tmp") / "half/made"
    leftover.mkdir(parents=True)
    python = interpreter.prepare("run")
    assert not leftover.exists()
    done = subprocess.run([python.with_name("speck")], capture_output=True, text=True)
    assert done.stdout == "a speck\n"


def test_a_hash_that_differs_stops_it_and_leaves_nothing_behind(home: Path, lock: Path) -> None:
    lock.write_text(lock.read_text("utf-8").replace("sha256:", "sha256:00")[:-3], "utf-8")
    with pytest.raises(Stop, match="DO NOT MATCH THE HASHES"):
        interpreter.prepare("run")
    assert not home.exists()


def test_a_changed_lock_is_installed_into_the_same_environment(home: Path, lock: Path) -> None:
    interpreter.prepare("run")
    lock.write_text(f"# changed\n{lock.read_text('utf-8')}", "utf-8")
    before = home.stat().st_ino
    interpreter.prepare("run")
    assert home.stat().st_ino == before
    assert (home / "tautbook-run").read_text() == hashlib.sha256(lock.read_bytes()).hexdigest()


def test_somebody_elses_environment_is_left_alone(home: Path) -> None:
    home.mkdir()
    with pytest.raises(Stop, match="made by something else"):
        interpreter.prepare("run")
    assert list(home.iterdir()) == []


def test_debian_without_venv_names_the_package(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(util, "find_spec", lambda name: None)
    with pytest.raises(Stop, match=r"sudo apt install python3\.\d+-venv"):
        interpreter.prepare("run")
    assert not home.with_name(".venv.tmp").exists()


def test_other_commands_go_on_in_the_environment_that_was_set_up(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """`python3 manage.py backup` by a Python that knows nothing of Django."""
    asked: list[str] = []

    def ensure(group: str) -> None:
        asked.append(group)
        raise SystemExit(0)  # as the command that goes on elsewhere ends

    monkeypatch.setattr(util, "find_spec", lambda name: None)
    monkeypatch.setattr(interpreter, "ensure", ensure)
    monkeypatch.setattr("sys.argv", ["manage.py", "backup"])
    with pytest.raises(SystemExit):
        manage.main()
    assert asked == ["run"]


def test_the_version_is_that_of_the_checkout_and_needs_no_packages() -> None:
    command = [sys.executable, "-S", "manage.py", "--version"]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, timeout=60)
    assert done.stdout == f"Tautbook {interpreter.version()}\n"
