"""A PostgreSQL cluster of one's own, thrown away afterwards (Debian's pg_virtualenv)."""

import shutil
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager

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
    with subprocess.Popen(command, text=True, **pipes) as running:
        lines = (line.strip() for line in running.stdout)
        try:
            yield next(line for line in lines if line.startswith("postgresql://"))
        finally:
            running.stdin.close()
            running.wait(timeout=60)
