"""What tests of backups share."""

import subprocess
import sys

from tests.shop_process import ROOT, ShopProcess


def refused(shop: ShopProcess, *command: str) -> str:
    """What a command says that has to fail."""
    done = subprocess.run(
        [sys.executable, "manage.py", *command],
        **{"cwd": ROOT, "env": shop.env, "capture_output": True, "text": True},
        timeout=120,
    )
    assert done.returncode == 1, done.stdout
    assert "Traceback" not in done.stderr
    return done.stderr
