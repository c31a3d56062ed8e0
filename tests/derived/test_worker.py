"""The worker as its own process: killed, two at once, gone with whoever started it."""

import os
import shutil
import signal
import sqlite3
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from frames.derived import worker
from shopfloor.launch import server
from tests.shop_process import DATABASE, ROOT, ShopProcess

PATIENCE_S = 90
FILL = """
from tests.derived.making import Bench
bench = Bench()
for _ in range(4):
    frame = bench.frame()
    bench.fit(frame)
    bench.check(frame, 12, 12)
    bench.turn(frame, 48)
    bench.check(frame, 16, 15)
"""


@pytest.fixture
def shop(bare_data: Path, tmp_path: Path) -> ShopProcess:
    shutil.copytree(bare_data, tmp_path / "data")
    return ShopProcess(tmp_path / "data")


@pytest.fixture
def workers(shop: ShopProcess) -> Iterator[Callable[[], subprocess.Popen]]:
    started = []

    def start() -> subprocess.Popen:
        env = {
            **shop.env,
            "OPENBLAS_NUM_THREADS": "1",
            "DJANGO_SETTINGS_MODULE": "shopfloor.settings",
        }
        command = [sys.executable, "-m", "django", "derive", "--watch"]
        started.append(subprocess.Popen(command, cwd=ROOT, env=env))
        return started[-1]

    yield start
    for process in started:
        server.stop(process)


def estimates(shop: ShopProcess) -> int:
    with sqlite3.connect(f"file:{shop.data / DATABASE}?mode=ro", uri=True) as link:
        return link.execute("select count(*) from frames_derived where kind='estimate'").fetchone()[
            0
        ]


def until(done: Callable[[], bool]) -> None:
    began = time.monotonic()
    while not done():
        assert time.monotonic() - began < PATIENCE_S, "nothing was derived in time"
        time.sleep(0.1)


def test_killed_and_two_at_once(shop: ShopProcess, workers: Callable[[], subprocess.Popen]) -> None:
    shop.python(FILL)
    first = workers()
    until(lambda: estimates(shop) >= 1)
    first.send_signal(signal.SIGKILL)
    first.wait()
    workers()
    workers()
    until(lambda: estimates(shop) == 4)
    assert "All is well" in shop.manage("check_log")
    told = "from frames.models import Feed; print(Feed.objects.filter(kind='estimate').count())"
    assert shop.python(told).strip() == "4"


def test_it_follows_what_comes_later(
    shop: ShopProcess, workers: Callable[[], subprocess.Popen]
) -> None:
    process = workers()
    shop.python(FILL)
    until(lambda: estimates(shop) == 4)
    process.terminate()
    process.wait(PATIENCE_S)
    assert "All is well" in shop.manage("check_log")


def test_it_ends_with_the_process_that_started_it(monkeypatch: pytest.MonkeyPatch) -> None:
    """A launcher that is killed cannot stop it, so it looks for itself."""
    parents = iter([100, 100, 100, 1])
    monkeypatch.setattr(os, "getppid", lambda: next(parents))
    monkeypatch.setattr(os, "nice", lambda by: by)
    looked = []
    monkeypatch.setattr(worker, "look", lambda place: looked.append(place) or 7)
    worker.watch(sleep=lambda seconds: None)
    assert looked == [None, 7]


@pytest.mark.django_db
def test_after_trouble_it_begins_with_everything(monkeypatch: pytest.MonkeyPatch) -> None:
    answers = iter([5, RuntimeError("one screen could not be derived"), 9])
    asked, slept = [], []

    def look(place: int | None) -> int:
        asked.append(place)
        answer = next(answers)
        if isinstance(answer, Exception):
            raise answer
        return answer

    monkeypatch.setattr(worker, "look", look)
    monkeypatch.setattr(os, "nice", lambda by: by)
    rounds = iter([True, True, True, False])
    worker.watch(sleep=slept.append, goes_on=lambda: next(rounds))
    assert asked == [None, 5, None]
    assert worker.AFTER_TROUBLE_S in slept
