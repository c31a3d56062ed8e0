"""Says in the terminal what is being done. Standard library only."""

import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager


class Stop(Exception):
    """Something a person has to put right first; the message says what and how."""


def say(text: str = "") -> None:
    print(text, flush=True)


@contextmanager
def step(what: str) -> Iterator[list[str]]:
    """Print `what`, then how long it took and whatever the block appended to the yielded list."""
    print(f"  {what} ", end="" if sys.stdout.isatty() else "\n", flush=True)
    began = time.monotonic()
    notes: list[str] = []
    yield notes
    notes.append(f"{time.monotonic() - began:.1f} s")
    clear()
    say(f"  {what}: {', '.join(notes)}")


def passing(text: str) -> None:
    """Show a passing remark on the current line; nothing where output goes to a file."""
    if sys.stdout.isatty():
        print(f"\r\033[K  … {text[:70]}", end="", flush=True)


def clear() -> None:
    if sys.stdout.isatty():
        print("\r\033[K", end="")
