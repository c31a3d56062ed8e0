"""A PostgreSQL cluster of one's own, thrown away afterwards (Debian's pg_virtualenv)."""

import fcntl
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

LOCK = Path(tempfile.gettempdir()) / "tautbook-cluster-starts.lock"
ADDRESS = 'echo "postgresql://$PGUSER:$PGPASSWORD@$PGHOST:$PGPORT/$PGDATABASE"; exec cat'


def is_here() -> bool:
    return bool(shutil.which("pg_virtualenv"))


@contextmanager
def cluster(*options: str) -> Iterator[str]:
    """The address of its database; `options` are settings of the server, such as fsync=off."""
    # -t: in a folder of its own, so that two runs at once do not meet
    settings = [word for option in options for word in ("-o", option)]
    command = ["pg_virtualenv", "-t", *settings, "sh", "-c", ADDRESS]
    pipes = {"stdin": subprocess.PIPE, "stdout": subprocess.PIPE, "stderr": subprocess.DEVNULL}
    with alone():
        running = subprocess.Popen(command, text=True, **pipes)
        address = _told(running)
    with running:
        try:
            yield address
        finally:
            running.stdin.close()
            running.wait(timeout=60)


def _told(running: "subprocess.Popen[str]") -> str:
    for line in running.stdout:
        if line.startswith("postgresql://"):
            return line.strip()
    raise RuntimeError(f"no cluster came up; see why by hand: {' '.join(running.args[:-3])} true")


@contextmanager
def alone() -> Iterator[None]:
    """One start at a time on this machine: a port is free until whoever found it free listens."""
    with LOCK.open("a") as file:
        fcntl.flock(file, fcntl.LOCK_EX)
        yield
