"""Builds the pages' code from `static/src` when it changed. Standard library only."""

import hashlib
import json
import os
import subprocess
from pathlib import Path

from shopfloor import places
from shopfloor.launch import node
from shopfloor.launch.steps import Stop, step

FOLDER = places.STATIC
_BUILT = FOLDER / "dist/.sources"
# npm keeps its own account here of what it has put into node_modules.
_FETCHED = FOLDER / "node_modules/.package-lock.json"


def build(*, tools: bool = False) -> bool:
    """Fetch npm packages and bundle, each only when needed; `tools` adds what tests use.

    True when something was built.
    """
    lacking = _lacks_packages(tools)
    sources = digest(_sources())
    if not lacking and _read(_BUILT) == sources:
        return False
    found = node.find()
    if lacking:
        with step("npm packages"):
            _run([*found.npm, "ci", *([] if tools else ["--omit=dev"])], found)
    if _read(_BUILT) != sources:
        with step("Building the pages"):
            _run([*found.node, "build.mjs"], found)
        _BUILT.write_text(sources, "utf-8")
    return True


def are_built() -> bool:
    """Whether the bundles at hand were made from the present sources."""
    return _read(_BUILT) == digest(_sources())


def _lacks_packages(tools: bool) -> bool:
    if not _FETCHED.exists():
        return True
    have = {name: one.get("version") for name, one in _packages(_FETCHED).items()}
    return any(
        have.get(name) != one.get("version")
        for name, one in _packages(FOLDER / "package-lock.json").items()
        if name and not one.get("optional") and (tools or not one.get("dev"))
    )


def _packages(lock: Path) -> dict[str, dict[str, object]]:
    return json.loads(lock.read_text("utf-8"))["packages"]


def collected_digest() -> str:
    """Digest over everything that is collected for browsers, but for the packages' own files."""
    folders = (FOLDER / "dist", FOLDER / "icons")
    files = [file for folder in folders for file in folder.glob("**/*") if file.is_file()]
    return digest(sorted(files))


def digest(files: list[Path]) -> str:
    """SHA-256 over the names and contents of the files."""
    sum_ = hashlib.sha256()
    for file in files:
        raw = file.read_bytes()
        sum_.update(f"{file.relative_to(FOLDER).as_posix()} {len(raw)}\n".encode() + raw)
    return sum_.hexdigest()


def _sources() -> list[Path]:
    inside = [file for part in ("src", "locale") for file in FOLDER.glob(f"{part}/**/*")]
    files = sorted(file for file in inside if file.is_file())
    return [FOLDER / "build.mjs", FOLDER / "package-lock.json", *files]


def _read(file: Path) -> str:
    return file.read_text("utf-8") if file.exists() else ""


def _run(command: list[str], found: node.Node) -> None:
    # npm starts `node` by name for some packages, so its folder goes first on the path.
    path = str(Path(found.node[0]).parent) + os.pathsep + os.environ.get("PATH", "")
    done = subprocess.run(
        command, cwd=FOLDER, env={**os.environ, "PATH": path}, capture_output=True, text=True
    )
    if done.returncode:
        words = f"{done.stdout}\n{done.stderr}"[-3000:]
        raise Stop(f"'{' '.join(command[-3:])}' failed in static/:\n{words}")
