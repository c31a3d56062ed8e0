"""Eight phones push at once while another reads the feed: nothing is lost, locked or skipped.

`CROWD_ENTRIES=50000` makes it a big shop's year; `CROWD_DATABASE_URL` names another database
than a fresh SQLite file (its content is thrown away).
"""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.log.crowd import deliveries
from tests.source_tree import ROOT

ENTRIES = int(os.environ.get("CROWD_ENTRIES", "2400"))
FRAMES = 500
PHONES = 8
LONGEST_S = 60 + ENTRIES // 10


@pytest.fixture
def env(tmp_path: Path) -> dict[str, str]:
    own = {"TAUTBOOK_DATA": str(tmp_path), "DJANGO_SETTINGS_MODULE": "shopfloor.settings"}
    elsewhere = os.environ.get("CROWD_DATABASE_URL")
    kept = {name: value for name, value in os.environ.items() if name != "DATABASE_URL"}
    env = kept | own | ({"DATABASE_URL": elsewhere} if elsewhere else {})
    for words in (["migrate", "--verbosity", "0"], ["flush", "--no-input"]):
        subprocess.run([sys.executable, "manage.py", *words], cwd=ROOT, env=env, check=True)
    return env


def begin(env: dict[str, str], *words: str) -> "subprocess.Popen[str]":
    pipes = {"stdin": subprocess.PIPE, "stdout": subprocess.PIPE, "stderr": subprocess.PIPE}
    command = [sys.executable, "-m", "tests.log.crowd", *words]
    return subprocess.Popen(command, cwd=ROOT, env=env, text=True, **pipes)


def result(process: "subprocess.Popen[str]") -> dict:
    out, errors = process.communicate(timeout=LONGEST_S)
    assert process.returncode == 0, errors
    return json.loads(out)


def test_eight_writers_and_a_reader(env: dict[str, str], tmp_path: Path) -> None:
    sent = deliveries(417, ENTRIES, FRAMES, PHONES)
    paths = [tmp_path / f"{place}.json" for place in range(PHONES)]
    for path, batches in zip(paths, sent, strict=True):
        path.write_text(json.dumps(batches), encoding="utf-8")
    reader = begin(env, "follow")
    writers = [begin(env, "write", str(path)) for path in paths]
    answers = [result(writer) for writer in writers]
    read = result(reader)
    book = result(begin(env, "report"))

    ids = {entry["id"] for batches in sent for batch in batches for entry in batch}
    pushed = sum(len(batch) for batches in sent for batch in batches)
    assert sum(answer["stored"] for answer in answers) == len(ids) == book["entries"]
    assert sum(answer["duplicate"] for answer in answers) == pushed - len(ids) > 0
    assert book["refused"] == 0
    assert read == {"at": book["seq"], "skipped": []}
    assert book["state_is_replay"]
    assert book["trouble"] == []
