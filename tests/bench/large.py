"""A very large log: `python -m tests.bench.large [ENTRIES]`, a million unless said otherwise.

On DATABASE_URL, else on SQLite in a folder of its own. Fills it through the door, then prints what
the office's first pages cost against 10,000 entries, what one entry more asks of the database, how
long `rebuild_state` and `check_log` take and how much memory they hold.
"""

import json
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator

from tests.bench import measuring
from tests.bench.timing import Row
from tests.source_tree import ROOT

FRAMES, FEW, MANY = 5000, 10_000, 1_000_000


def main(entries: int) -> None:
    with tempfile.TemporaryDirectory(prefix="tautbook-large-") as data:
        url = os.environ.get("DATABASE_URL", f"sqlite:///{data}/large.sqlite3")
        env = {**os.environ, "TAUTBOOK_DATA": data, "DATABASE_URL": url}
        for step in ("fill", "rebuild_from_nothing", "rebuild_state", "check_log"):
            words = [sys.executable, "-m", "tests.bench.large", step, str(entries)]
            began = time.monotonic()
            process = subprocess.Popen(words, cwd=ROOT, env=env)
            _, status, used = os.wait4(process.pid, 0)
            took = time.monotonic() - began
            print(f"{step}: {took:,.0f} s, {used.ru_maxrss / 1024:,.0f} MB at most", flush=True)
            if status:
                sys.exit(f"{step} failed.")


def fill(entries: int) -> Iterator[Row]:
    from tests.api.cast import person, signed_in
    from tests.bench import office
    from tests.bench.book import Book

    client = signed_in(person("mara", "manager"))
    book = Book(FRAMES, entries)
    book.grow(FEW)
    few, one_of_few = office.times(client), one_more(book, FEW)
    began = time.monotonic()
    book.grow(entries)
    rate = (entries - FEW) / (time.monotonic() - began)
    yield Row("filling, batches of 5,000", f"{rate:,.0f} entries/s")
    yield from office.compared(few, office.times(client), FEW, entries)
    yield Row("queries of one entry more", f"{one_more(book, entries)} against {one_of_few}")


def one_more(book: "Book", at: int) -> int:  # noqa: F821
    """How many queries a push of one entry needs."""
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    with CaptureQueriesContext(connection) as caught:
        book.grow(at + 1, at_once=1)
    return len(caught)


def _empty_state() -> None:
    from frames.models import STATES

    for model in STATES.values():
        model.objects.all().delete()


def step(name: str, entries: int) -> None:
    from django.core.management import call_command

    measuring.connect()
    if name == "fill":
        measuring.empty()
        for row in fill(entries):
            print(json.dumps(row.body()), flush=True)
        return
    if name == "rebuild_from_nothing":
        _empty_state()
    call_command("check_log" if name == "check_log" else "rebuild_state")


if __name__ == "__main__":
    if sys.argv[1:2] and not sys.argv[1].isdigit():
        step(sys.argv[1], int(sys.argv[2]))
    else:
        main(int(sys.argv[1]) if sys.argv[1:] else MANY)
