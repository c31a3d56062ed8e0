"""Whether a server works on the data folder: each holds a lock on a file in it while it lives.

Where there is no `fcntl` (Windows) the system itself refuses to replace a database that is open.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO

from shopfloor.backup.errors import BackupError

try:
    import fcntl
except ImportError:
    fcntl = None  # type: ignore[assignment]

FILE = "in-use.lock"
_held: list[IO[bytes]] = []


def hold(data: Path) -> None:
    """Say that this process serves from `data`, until it ends; many may at once."""
    file = (data / FILE).open("ab")
    if fcntl and not _lock(file, fcntl.LOCK_SH):
        file.close()
        raise BackupError("A backup is being put back into this data folder: start again after.")
    # kept open: the lock lives as long as the file does
    _held.append(file)


@contextmanager
def alone(data: Path) -> Iterator[None]:
    """Keep servers out of `data` meanwhile; BackupError if one is in."""
    with (data / FILE).open("ab") as file:
        if fcntl and not _lock(file, fcntl.LOCK_EX):
            raise BackupError("Tautbook is running on this data folder: stop it first.")
        yield


def _lock(file: IO[bytes], how: int) -> bool:
    assert fcntl
    try:
        fcntl.flock(file, how | fcntl.LOCK_NB)
    except OSError:
        return False
    return True
