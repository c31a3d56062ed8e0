"""Eight phones push at once while another reads the feed: nothing is lost, locked or skipped.

`CROWD_ENTRIES=50000` makes it a big shop's year.
"""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.log.conftest import Env
from tests.log.crowd import deliveries
from tests.source_tree import ROOT

ENTRIES = int(os.environ.get("CROWD_ENTRIES", "2000"))
FRAMES = 500
PHONES = 8
LONGEST_S = 60 + ENTRIES // 10


def begin(env: Env, *words: str) -> "subprocess.Popen[str]":
    pipes = {"stdin": subprocess.PIPE, "stdout": subprocess.PIPE, "stderr": subprocess.PIPE}
    command = [sys.executable, "-m", "tests.log.crowd", *words]
    return subprocess.Popen(command, cwd=ROOT, env=env, text=True, **pipes)


def result(process: "subprocess.Popen[str]") -> dict:
    out, errors = process.communicate(timeout=LONGEST_S)
    assert process.returncode == 0, errors
    return json.loads(out)


@pytest.mark.promise(5)
def test_eight_writers_and_a_reader(own_database: Env, tmp_path: Path) -> None:
    sent = deliveries(417, ENTRIES, FRAMES, PHONES)
    paths = [tmp_path / f"{place}.json" for place in range(PHONES)]
    for path, batches in zip(paths, sent, strict=True):
        path.write_text(json.dumps(batches), encoding="utf-8")
    reader = begin(own_database, "follow")
    writers = [begin(own_database, "write", str(path)) for path in paths]
    answers = [result(writer) for writer in writers]
    read = result(reader)
    book = result(begin(own_database, "report"))

    ids = {entry["id"] for batches in sent for batch in batches for entry in batch}
    pushed = sum(len(batch) for batches in sent for batch in batches)
    assert sum(answer["stored"] for answer in answers) == len(ids) == book["entries"]
    assert sum(answer.get("duplicate", 0) for answer in answers) == pushed - len(ids) > 0
    assert book["refused"] == 0
    assert read == {"at": book["seq"], "skipped": []}
    assert book["state_is_replay"]
    assert book["trouble"] == []
