"""Django's own list for a real site finds nothing, and what is silenced has a reason here."""

import subprocess
import sys
from pathlib import Path

import pytest

from shopfloor import settings
from tests.shop_process import ROOT, ShopProcess

SILENCED = {
    "axes.W006": "an address alone never locks anyone out: the whole shop may have one",
    "security.W004": "HSTS is the shop's choice: the plain page for certificates has the same name",
    "security.W005": "what else the shop's domain serves is not for Tautbook to decide",
    "security.W021": "the browsers' preload list is for public names; a shop's may be its own",
    "security.W008": "nothing of the app listens on plain http, so there is nothing to redirect",
}


def check(env: dict[str, str]) -> subprocess.CompletedProcess[str]:
    # which only the tests' own process needs
    env = {name: value for name, value in env.items() if name != "DJANGO_ALLOW_ASYNC_UNSAFE"}
    command = [sys.executable, "manage.py", "check", "--deploy", "--fail-level", "WARNING"]
    return subprocess.run(command, cwd=ROOT, env=env, capture_output=True, text=True, timeout=120)


@pytest.mark.parametrize("more", [{}, {"BEHIND_PROXY": "1"}], ids=["itself", "behind a proxy"])
def test_check_deploy_is_clean(built_pages: Path, tmp_path: Path, more: dict[str, str]) -> None:
    shop = ShopProcess(tmp_path, host="shop.test", secure=True)
    done = check({**shop.env, **more})
    assert done.returncode == 0, done.stderr
    assert "no issues" in done.stdout


def test_it_would_find_something(built_pages: Path, tmp_path: Path) -> None:
    done = check({**ShopProcess(tmp_path).env, "DEBUG": "1"})
    assert done.returncode == 1
    assert "security.W018" in done.stderr


def test_each_silenced_check_has_its_reason() -> None:
    assert set(settings.SILENCED_SYSTEM_CHECKS) == set(SILENCED)
