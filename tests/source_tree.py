"""The project's own files, as git knows them, for the tests that guard the house."""

import subprocess
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
SIZED = {".py", ".js", ".mjs", ".jsx", ".css", ".html"}


def files() -> list[Path]:
    """Every file that is, or is about to be, under version control."""
    command = ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"]
    names = subprocess.run(command, cwd=ROOT, capture_output=True, check=True).stdout
    paths = [ROOT / name.decode() for name in names.split(b"\0") if name]
    return sorted({path for path in paths if path.is_file()})


def python_files(*folders: str) -> list[Path]:
    return [
        path
        for path in files()
        if path.suffix == ".py" and path.relative_to(ROOT).parts[0] in folders
    ]


def module_name(path: Path) -> str:
    parts = path.relative_to(ROOT).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def relative(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()
