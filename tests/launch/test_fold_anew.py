"""A start or a restore by a version with other rules folds the whole log anew before it serves."""

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.launch.test_start import Started
from tests.shop_process import ROOT, ShopProcess, free_port

# As a version left it that knew no exposing: state is what it made of the rest of the log.
EARLIER = """
from frames import effects, state_version
from frames.models import Counter
del effects.EFFECTS["exposed"]
state_version.rebuild()
Counter.objects.update(folded_by="an earlier version")
"""


@pytest.fixture
def old(demo_data: Path, tmp_path: Path) -> ShopProcess:
    shutil.copytree(demo_data, tmp_path / "data")
    shop = ShopProcess(tmp_path / "data")
    shop.python(EARLIER)
    assert is_wrong(shop)
    return shop


def is_wrong(shop: ShopProcess) -> bool:
    said = shop.python("from frames import audit; print(len(list(audit.replays())))")
    return said.strip() != "0"


def test_a_start_folds_anew_once_and_says_so(old: ShopProcess) -> None:
    env = {**old.env, "PUBLIC_ORIGIN": f"http://localhost:{free_port()}"}
    for folds in (True, False):
        one = Started(env, "start")
        try:
            said = one.wait()
            assert ("New rules" in said) == folds
            assert ("State differed" in said) == folds
            assert not is_wrong(old)
        finally:
            one.kill()


def test_a_restore_folds_anew(old: ShopProcess, tmp_path: Path) -> None:
    file = str(tmp_path / "of-before.backup")
    old.manage("backup", file)
    assert "State differed" in old.manage("restore", file, "--replace")
    assert not is_wrong(old)


def test_of_two_at_once_one_folds(old: ShopProcess) -> None:
    command = [sys.executable, "manage.py", "rebuild_state", "--if-due"]
    both = [
        subprocess.Popen(command, cwd=ROOT, env=old.env, stdout=subprocess.PIPE, text=True)
        for _ in range(2)
    ]
    said = [one.communicate(timeout=300)[0] for one in both]
    assert [one.returncode for one in both] == [0, 0]
    assert sum("State differed" in words for words in said) == 1
    assert not is_wrong(old)
