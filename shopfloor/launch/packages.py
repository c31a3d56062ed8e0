"""Installs locked Python packages and tells how far it is. Standard library only."""

import re
import subprocess
from pathlib import Path

from shopfloor.launch.steps import Stop, passing

_SIZES = {"kB": 1e-3, "MB": 1.0, "GB": 1e3}


def install(python: Path, lock: Path) -> list[str]:
    """Install every package of `lock`, hashes checked; notes about how many and how large."""
    command = [
        *(str(python), "-m", "pip", "install", "--require-hashes", "--no-input"),
        *("--progress-bar", "off", "--disable-pip-version-check", "-r", str(lock)),
    ]
    total = len(re.findall(r"^[\w.-]+==", lock.read_text("utf-8"), re.M))
    seen, megabytes, tail = 0, 0.0, []
    with subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, encoding="utf-8"
    ) as pip:
        assert pip.stdout
        for line in pip.stdout:
            tail = [*tail[-14:], line]
            if line.startswith("Collecting "):
                seen += 1
                passing(f"package {seen} of at most {total}: {line.split()[1]}")
            megabytes += _size(line)
            if line.startswith("Installing collected"):
                passing(f"unpacking {seen} packages")
    if pip.returncode:
        raise Stop("pip could not install the packages. Its last words:\n" + "".join(tail))
    return [f"{seen} package{'' if seen == 1 else 's'}", f"{megabytes:.0f} MB"]


def _size(line: str) -> float:
    found = re.search(r"Downloading .*\(([\d.]+) (kB|MB|GB)\)", line)
    return float(found[1]) * _SIZES[found[2]] if found else 0.0
