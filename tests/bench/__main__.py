"""Prints a table of ratios, all measured in this run: `python -m tests.bench [push office labels]`.

On SQLite and, where `pg_virtualenv` is there, on PostgreSQL.
"""

import json
import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator

from shopfloor.launch import pages
from shopfloor.launch.testing import POSTGRESQL, SQLITE, Run
from tests.bench.measuring import PARTS
from tests.bench.timing import Row
from tests.source_tree import ROOT


def measured(run: Run, parts: list[str]) -> Iterator[Row]:
    with tempfile.TemporaryDirectory(prefix="tautbook-bench-") as data:
        url = run.settings.get("DATABASE_URL", f"sqlite:///{data}/bench.sqlite3")
        env = {**os.environ, "TAUTBOOK_DATA": data, "DATABASE_URL": url}
        command = [*run.within, sys.executable, "-m", "tests.bench.measuring", *parts]
        done = subprocess.run(command, cwd=ROOT, env=env, stdout=subprocess.PIPE, text=True)
    if done.returncode:
        sys.exit(f"Measuring on {run.name} failed; see above.")
    for line in done.stdout.splitlines():
        if line.startswith("{"):
            yield Row(**json.loads(line))


def line(database: str, row: Row) -> str:
    ratio = "" if row.ratio is None else f"{row.ratio:.2f}"
    return f"| {row.name} | {database} | {row.figures} | {ratio} | {row.aim} |"


def main(parts: list[str]) -> None:
    pages.build(tools=True)
    databases = [SQLITE, *([POSTGRESQL] if shutil.which(POSTGRESQL.within[0]) else [])]
    print("| what | database | figures | ratio | aim |\n|---|---|---|---|---|")
    for run in databases:
        for row in measured(run, parts):
            print(line(run.name, row), flush=True)


if __name__ == "__main__":
    main(sys.argv[1:] or list(PARTS))
