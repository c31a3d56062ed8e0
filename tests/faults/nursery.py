"""Forks real servers that start in a moment: Django's modules are read once, not at every start.

Run as a program with granian's command line as its words. Each line on its input is an order:
`start` answers with the process id of a new server, `run TEXT` with that of a process that runs
some lines of Python (TEXT is JSON), `wait ID` with how one ended once it has, `ended ID` with the
same or with nothing while it runs. A server is what the command line makes of it: granian with a
worker of its own, which connects to the database and looks where it stands.
"""

import importlib
import json
import os
import signal
import sys
import traceback
from collections.abc import Callable
from contextlib import suppress

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shopfloor.settings")
children: set[int] = set()


def read_modules() -> None:
    """Everything the app imports, and nothing that touches the database."""
    import django
    from django.conf import settings

    django.setup()
    importlib.import_module(settings.ROOT_URLCONF)
    for path in settings.MIDDLEWARE:
        importlib.import_module(path.rpartition(".")[0])
    for name in ("granian.cli", "granian.server.mp", "granian.asgi", "shopfloor.front"):
        importlib.import_module(name)


def fork(work: Callable[[], None]) -> int:
    if child := os.fork():
        children.add(child)
        return child
    # A session of its own lets a test kill the server and its worker together.
    os.setsid()
    os.dup2(os.open(os.devnull, os.O_RDWR), 0)
    os.dup2(2, 1)
    try:
        work()
    except Exception:
        traceback.print_exc()
        os._exit(1)
    # Tidying up after so many modules takes longer than most of what is done here.
    sys.stdout.flush()
    os._exit(0)


def serve(words: list[str]) -> None:
    from granian.cli import entrypoint

    sys.argv = ["granian", *words]
    entrypoint()


def run(lines: str) -> None:
    exec(compile(lines, "lines of a test", "exec"), {})


def ended(child: int, how: int) -> str:
    found, status = os.waitpid(child, how)
    children.discard(found)
    return str(os.waitstatus_to_exitcode(status)) if found else ""


def obey(order: str, words: list[str]) -> str:
    match order.split(maxsplit=1):
        case ["start"]:
            return str(fork(lambda: serve(words)))
        case ["run", text]:
            return str(fork(lambda: run(json.loads(text))))
        case ["wait", child]:
            return ended(int(child), 0)
        case ["ended", child]:
            return ended(int(child), os.WNOHANG)
    raise ValueError(order)


def end_all() -> None:
    """Whoever gave the orders is gone: servers that nobody ended go too."""
    for child in children:
        with suppress(ProcessLookupError):
            os.killpg(child, signal.SIGKILL)


if __name__ == "__main__":
    read_modules()
    for line in sys.stdin:
        print(obey(line, sys.argv[1:]), flush=True)
    end_all()
