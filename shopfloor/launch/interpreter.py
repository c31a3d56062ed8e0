"""Finds or makes the Python environment that Tautbook runs in. Standard library only.

The running interpreter is used as it is where it already holds every package, so an active
environment, a container or a system install is left alone. Otherwise `.venv` in this folder is
made from the locked, hashed requirements, under another name until it is complete.
"""

import hashlib
import os
import re
import subprocess
import sys
import tomllib
from importlib import metadata, util
from pathlib import Path
from typing import Any

from shopfloor.launch.packages import install
from shopfloor.launch.steps import Stop, say, step

ROOT = Path(__file__).resolve().parents[2]
HOME = ROOT / ".venv"
LOCKS = {"run": ROOT / "requirements.lock", "test": ROOT / "tests/requirements.lock"}
_INSIDE = "TAUTBOOK_ENVIRONMENT_READY"


def ensure(group: str) -> None:
    """Return where the running interpreter has all of `group`, else run this command in one."""
    lacking = missing(group)
    if not lacking:
        return
    if os.environ.get(_INSIDE):
        raise Stop(f"{sys.executable} still lacks {', '.join(lacking)}. Remove {HOME}, try again.")
    say(f"This Python has no {lacking[0]}: setting up an environment in {HOME.name}/ first.")
    python = prepare(group)
    run_there(python)


def missing(group: str) -> list[str]:
    """Names of the packages that `pyproject.toml` asks for and this interpreter has not."""
    project = _project()
    wanted = list(project["dependencies"])
    if group == "test":
        wanted += project["optional-dependencies"]["test"]
    return [name for name, spec in map(_split, wanted) if not _holds(name, spec)]


def version() -> str:
    """Of this checkout."""
    return _project()["version"]


def _project() -> dict[str, Any]:
    return tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]


def _split(requirement: str) -> tuple[str, str]:
    name = re.match(r"[A-Za-z0-9._-]+", requirement)
    assert name, requirement
    return name[0], requirement[name.end() :]


def _holds(name: str, spec: str) -> bool:
    try:
        have = _numbers(metadata.version(name))
    except metadata.PackageNotFoundError:
        return False
    least, below = re.search(r">=([\d.]+)", spec), re.search(r"<([\d.]+)", spec)
    return (not least or have >= _numbers(least[1])) and (not below or have < _numbers(below[1]))


def _numbers(version: str) -> tuple[int, ...]:
    return tuple(int(part) for part in re.findall(r"\d+", version)[:3])


def prepare(group: str) -> Path:
    """Make or complete `.venv`; the path of its Python. It is told apart by our stamp file."""
    stamp = HOME / f"tautbook-{group}"
    wanted = hashlib.sha256(LOCKS[group].read_bytes()).hexdigest()
    if not HOME.exists():
        create(LOCKS[group])
    elif not any(HOME.glob("tautbook-*")):
        raise Stop(
            f"{HOME} was made by something else and lacks packages. Either run "
            f"'pip install -r {LOCKS[group].name}' in it, or move it away and try again."
        )
    elif not stamp.exists() or stamp.read_text("utf-8") != wanted:
        with step("Python packages that changed or are new") as notes:
            notes += install(python_in(HOME), LOCKS[group])
    for one in ("run", group):
        text = hashlib.sha256(LOCKS[one].read_bytes()).hexdigest()
        (HOME / f"tautbook-{one}").write_text(text, "utf-8")
    return python_in(HOME)


def create(lock: Path) -> None:
    if util.find_spec("ensurepip") is None:
        version = f"{sys.version_info.major}.{sys.version_info.minor}"
        raise Stop(
            "This Python cannot make environments: its 'venv' part is packed separately. "
            f"On Debian or Ubuntu: sudo apt install python{version}-venv"
        )
    draft = HOME.with_name(".venv.tmp")
    with step("Python environment"):
        # Whatever an interrupted start left behind is cleared, never built upon.
        command = [sys.executable, "-m", "venv", "--clear", str(draft)]
        made = subprocess.run(command, capture_output=True, text=True)
    if made.returncode:
        raise Stop(f"The environment could not be made:\n{made.stdout}{made.stderr}")
    with step("Python packages") as notes:
        notes += install(python_in(draft), lock)
    draft.rename(HOME)
    _mend_scripts(draft)


def _mend_scripts(draft: Path) -> None:
    """Let the small scripts that pip wrote name the folder's final place."""
    if os.name == "nt":
        return
    for script in (HOME / "bin").iterdir():
        if script.is_file() and not script.is_symlink():
            raw = script.read_bytes()
            if str(draft).encode() in raw and b"\0" not in raw:
                script.write_bytes(raw.replace(str(draft).encode(), str(HOME).encode()))


def python_in(folder: Path) -> Path:
    return folder / ("Scripts/python.exe" if os.name == "nt" else "bin/python")


def run_there(python: Path) -> None:
    """Run the same command in that environment and end with its exit code."""
    command = [str(python), *sys.orig_argv[1:]]
    os.environ[_INSIDE] = "1"
    if os.name != "nt":
        os.execv(command[0], command)
    # On Windows exec starts a second process and lets the terminal go; so wait for a child.
    with subprocess.Popen(command) as child:
        while True:
            try:
                sys.exit(child.wait())
            except KeyboardInterrupt:
                continue  # the child heard it too and says good-bye itself
