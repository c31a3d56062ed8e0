#!/usr/bin/env python3
"""Door to every command of Tautbook.

`demo`, `start` and `verify` need nothing but Python: they set up the rest themselves. Every other
command uses what they set up, whatever Python it is called with.
"""

import os
import sys
from importlib import util

LAUNCHING = {"demo": "run", "start": "run", "verify": "test"}
STOPPED = "\nStopped. Nothing is half done: the same command goes on from here."


def main() -> None:
    if sys.version_info < (3, 11):  # noqa: UP036 - this file alone must speak to an older Python
        sys.exit("Tautbook needs Python 3.11 or newer; this is " + sys.version.split()[0] + ".")
    if sys.argv[1:] in (["version"], ["--version"]):
        from shopfloor.launch import interpreter

        print("Tautbook", interpreter.version())
        return
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shopfloor.settings")
    if len(sys.argv) > 1 and sys.argv[1] in LAUNCHING:
        prepare(sys.argv[1])
    elif util.find_spec("django") is None:
        environment("run")
    from django.core.management import execute_from_command_line

    execute_from_command_line(sys.argv)


def prepare(command: str) -> None:
    """See to packages, pages and addresses: the settings ask for all three when they are read."""
    from shopfloor.launch import address, pages, steps

    environment(LAUNCHING[command])
    try:
        address.settle(command, sys.argv[2:])
        pages.build(tools=LAUNCHING[command] == "test")
    except steps.Stop as reason:
        sys.exit(f"\n{reason}")
    except KeyboardInterrupt:
        sys.exit(STOPPED)


def environment(group: str) -> None:
    """Return where this Python has every package, else go on in one that has."""
    from shopfloor.launch import interpreter, steps

    try:
        interpreter.ensure(group)
    except steps.Stop as reason:
        sys.exit(f"\n{reason}")
    except KeyboardInterrupt:
        sys.exit(STOPPED)


if __name__ == "__main__":
    main()
