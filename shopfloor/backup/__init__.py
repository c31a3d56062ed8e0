"""Backups that a shop can come back from, and the way back.

`make` saves a running shop to one file and proves it by opening it; `restore` puts one back.
"""

from pathlib import Path

from shopfloor.backup.errors import BackupError
from shopfloor.backup.keeping import BEFORE_UPGRADE, LastGood, last_good, newest
from shopfloor.backup.making import Made, check, make
from shopfloor.backup.restoring import Restored, restore

__all__ = [
    "BEFORE_UPGRADE",
    "BackupError",
    "LastGood",
    "Made",
    "Restored",
    "check",
    "last_good",
    "make",
    "newest",
    "passphrase_in",
    "restore",
]


def passphrase_in(path: str | Path | None) -> str | None:
    """The passphrase in that file, None for no file."""
    if not path:
        return None
    try:
        return Path(path).read_text("utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise BackupError(f"The passphrase cannot be read from {path}: {error}.") from error
