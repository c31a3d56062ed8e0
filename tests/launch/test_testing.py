"""The last line of a run of all tests is the result of them all, and so is the exit code."""

from pathlib import Path

import pytest

from shopfloor.launch import testing
from shopfloor.launch.testing import Run

GOOD = "import pytest\ndef test_a():\n    pass\n@pytest.mark.skip\ndef test_b():\n    pass\n"
BAD = "def test_c():\n    assert 0\ndef test_d(gone):\n    pass\n"
BROKEN = "import nothing_of_this_name\n"


def run_of(folder: Path, name: str, text: str) -> Run:
    path = folder / f"test_{name}.py"
    path.write_text(text, encoding="utf-8")
    return Run(name, words=("-n", "0", "-p", "no:cacheprovider", str(path)))


def test_a_failure_in_the_first_run_shows_after_a_good_last_one(
    tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    runs = [run_of(tmp_path, "bad", BAD), run_of(tmp_path, "good", GOOD)]
    assert testing.run_all(runs) == 1
    said = capfd.readouterr().out.splitlines()
    assert "On bad: 1 failed, 1 errors" in said
    assert "On good: 1 passed, 1 skipped" in said
    assert "= 1 failed, 1 passed, 1 skipped, 1 errors in " in said[-1]


def test_a_run_that_cannot_begin_is_an_error(
    tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    never = Run("never", within=("sh", "-c", "exit 3"))
    assert testing.run_all([never, run_of(tmp_path, "good", GOOD)]) == 3
    assert "= 1 passed, 1 skipped, 1 errors in " in capfd.readouterr().out.splitlines()[-1]


def test_a_file_that_cannot_be_read_is_an_error(
    tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    assert testing.run_all([run_of(tmp_path, "broken", BROKEN)]) != 0
    assert "= 1 errors in " in capfd.readouterr().out.splitlines()[-1]


def test_all_is_well(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    assert testing.run_all([run_of(tmp_path, "good", GOOD)]) == 0
    assert "= 1 passed, 1 skipped in " in capfd.readouterr().out.splitlines()[-1]
