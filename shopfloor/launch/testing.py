"""Runs the tests, on each database that is here, and sums up in one last line."""

import os
import shutil
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from xml.etree import ElementTree

from shopfloor.launch.steps import say
from shopfloor.places import ROOT

# Shared out to one worker more than there are cores, as tests wait for browsers and servers, at
# most four; one that has none left takes half of what another one has. In the order of
# tests/conftest.py, so that no long test comes last.
SHARED_OUT = ("-n", str(min(4, (os.cpu_count() or 1) + 1)), "--dist", "worksteal")
# A cluster for one command, gone with it; nothing in it need survive a power cut.
CLUSTER = ("pg_virtualenv", "-t", "-o", "fsync=off", "-o", "synchronous_commit=off")
SETTINGS = ("DATABASE_URL", "PUBLIC_ORIGIN", "ALLOWED_HOSTS", "BEHIND_PROXY", "DEBUG")
# Servers start hundreds of times, and would compile every module anew each time.
SLOWER = ("PYTHONDONTWRITEBYTECODE",)
OUTCOMES = {"failures": "failed", "errors": "errors", "skipped": "skipped"}


@dataclass(frozen=True)
class Run:
    """One session of pytest: its words, and what it is started with."""

    name: str
    words: tuple[str, ...] = ()
    within: tuple[str, ...] = ()
    settings: Mapping[str, str] = field(default_factory=dict)


SQLITE = Run("SQLite")
# host, port and password come from the cluster's own environment
POSTGRESQL = Run(
    "PostgreSQL",
    words=("--only-database",),
    within=CLUSTER,
    settings={"DATABASE_URL": "postgresql:///postgres"},
)


def run(words: list[str]) -> int:
    """Run pytest with these words; without any, everything on every database. The exit code."""
    return _pytest(SQLITE, words) if words else run_all([*_where_postgresql_is(), SQLITE])


def _where_postgresql_is() -> list[Run]:
    if shutil.which(CLUSTER[0]):
        return [POSTGRESQL]
    say("PostgreSQL is not here, so nothing is tested on it: apt-get install postgresql")
    return []


def run_all(runs: list[Run]) -> int:
    """Every run, also after one that failed; the last line is the result of them all."""
    began, counted, codes = time.monotonic(), Counter[str](), []
    with tempfile.TemporaryDirectory(prefix="tautbook-results-") as folder:
        for one in runs:
            result = Path(folder) / f"{one.name}.xml"
            say(f"\nTests on {one.name}")
            codes.append(_pytest(one, [*SHARED_OUT, f"--junitxml={result}"]))
            counts = outcome(result)
            say(f"On {one.name}: {spelled(counts)}")
            counted += counts
    say(closing_line(counted, time.monotonic() - began))
    return next((code for code in codes if code), 0)


def _pytest(one: Run, words: list[str]) -> int:
    # Tests never touch the data of a shop that is run from this folder.
    with tempfile.TemporaryDirectory(prefix="tautbook-tests-") as data:
        env = {name: value for name, value in os.environ.items() if name not in SETTINGS + SLOWER}
        env |= {"TAUTBOOK_DATA": data, **one.settings}
        command = [*one.within, sys.executable, "-m", "pytest", *words, *one.words]
        return subprocess.run(command, cwd=ROOT, env=env).returncode


def outcome(result: Path) -> Counter[str]:
    """How many tests passed, failed and so on, by the file that pytest wrote at its end."""
    try:
        suites = list(ElementTree.parse(result).iter("testsuite"))
    except (OSError, ElementTree.ParseError):
        return Counter(errors=1)  # it ended before it could write
    counts = Counter[str]()
    for suite in suites:
        told = {word: int(suite.get(name, 0)) for name, word in OUTCOMES.items()}
        counts += Counter(told | {"passed": int(suite.get("tests", 0)) - sum(told.values())})
    return counts


def spelled(counts: Counter[str]) -> str:
    words = ("failed", "passed", "skipped", "errors")
    return ", ".join(f"{counts[word]} {word}" for word in words if counts[word]) or "no tests ran"


def closing_line(counts: Counter[str], seconds: float) -> str:
    """In the form in which pytest ends."""
    minutes, rest = divmod(round(seconds), 60)
    clock = f"{minutes // 60}:{minutes % 60:02}:{rest:02}"
    return f" {spelled(counts)} in {seconds:.2f}s ({clock}) ".center(80, "=")
