"""Fault 29: numbers taken in one order and committed in another would hide a change from readers.

Two writers on PostgreSQL, the first held open after it has taken its number.
"""

import json
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.log.conftest import Env, migrated
from tests.log.making import Maker
from tests.source_tree import ROOT

PATIENCE_S = 30
HOLDS = """
from frames import feed
with feed.change() as turn:
    turn.append("thing", "press", "{id}", dict(id="{id}"))
    print("took", turn.seq, flush=True)
    input()
print("committed", flush=True)
"""
READS = """
from frames import feed
print([change.seq for change in feed.after(0, 100)], feed.head().seq)
"""
BEGUN: list["subprocess.Popen[str]"] = []
WAITING = "select count(*) from pg_stat_activity where wait_event_type = 'Lock'"


@pytest.fixture
def env(postgresql: str, tmp_path: Path) -> Env:
    """A book that has been looked at once, so that its counter is there."""
    fresh = migrated(postgresql, tmp_path)
    assert seen(fresh) == "[] 0"
    return fresh


@pytest.fixture(autouse=True)
def begun() -> Iterator[list["subprocess.Popen[str]"]]:
    """What a test has begun and left; a writer that stays would lock the next test out."""
    BEGUN.clear()
    yield BEGUN
    for process in BEGUN:
        process.kill()
        process.communicate()


def begin(env: Env, *words: str) -> "subprocess.Popen[str]":
    pipes = {"stdin": subprocess.PIPE, "stdout": subprocess.PIPE, "text": True}
    BEGUN.append(subprocess.Popen([sys.executable, *words], cwd=ROOT, env=env, **pipes))
    return BEGUN[-1]


def shell(env: Env, source: str) -> "subprocess.Popen[str]":
    return begin(env, "manage.py", "shell", "--verbosity", "0", "--command", source)


def holder(env: Env) -> "subprocess.Popen[str]":
    """A writer that has taken number 1 and waits for a word before it commits."""
    first = shell(env, HOLDS.format(id=Maker(3).new_id()))
    assert first.stdout
    assert first.stdout.readline() == "took 1\n"
    return first


def writer(env: Env, tmp_path: Path) -> "subprocess.Popen[str]":
    """A phone's push of one entry, already waiting for the first writer."""
    maker = Maker(4)
    path = tmp_path / "batch.json"
    path.write_text(json.dumps([[maker.fit(maker.frames[0])]]), encoding="utf-8")
    second = begin(env, "-m", "tests.log.crowd", "write", str(path))
    until = time.monotonic() + PATIENCE_S
    while query(env, WAITING) != "1":
        assert second.poll() is None, "it did not wait"
        assert time.monotonic() < until, "it never came to the counter"
        time.sleep(0.05)
    return second


def query(env: Env, words: str) -> str:
    command = ["psql", "--tuples-only", "--no-align", "--command", words, env["DATABASE_URL"]]
    return subprocess.run(command, check=True, capture_output=True, text=True).stdout.strip()


def seen(env: Env) -> str:
    return shell(env, READS).communicate(timeout=PATIENCE_S)[0].strip()


@pytest.mark.promise(5)
def test_f29_no_later_number_is_seen_before_an_earlier_one(env: Env, tmp_path: Path) -> None:
    first = holder(env)
    second = writer(env, tmp_path)
    assert seen(env) == "[] 0"
    assert first.communicate("\n", timeout=PATIENCE_S)[0] == "committed\n"
    assert json.loads(second.communicate(timeout=PATIENCE_S)[0]) == {"stored": 1}
    # the entry, its frame and its screen follow the press
    assert seen(env) == "[1, 2, 3, 4] 4"
    assert query(env, "select type from frames_feed where seq = 1") == "thing"


def test_f29_a_writer_that_dies_leaves_no_hole(env: Env, tmp_path: Path) -> None:
    first = holder(env)
    second = writer(env, tmp_path)
    first.send_signal(signal.SIGKILL)
    first.communicate(timeout=PATIENCE_S)
    assert json.loads(second.communicate(timeout=PATIENCE_S)[0]) == {"stored": 1}
    assert seen(env) == "[1, 2, 3] 3"
    assert query(env, "select type from frames_feed where seq = 1") == "entry"
