"""`manage.py check` says what would not work, and what to run."""

from pathlib import Path
from typing import Any

import pytest
from django.core.checks import run_checks

from shopfloor.checks import BUILT


def said(id: str) -> list[Any]:
    return [message for message in run_checks() if message.id == id]


def test_pages_that_are_not_built_are_named(settings: Any, tmp_path: Path) -> None:
    (tmp_path / "phone.js").touch()
    settings.STATICFILES_DIRS = [tmp_path]
    (warning,) = said("shopfloor.W001")
    assert "phone.css, office.js, office.css, sw.js missing" in warning.msg
    assert "npm run build" in warning.hint


def test_built_pages_are_not_mentioned(settings: Any, tmp_path: Path) -> None:
    for name in BUILT:
        (tmp_path / name).touch()
    settings.STATICFILES_DIRS = [tmp_path]
    assert not said("shopfloor.W001")


@pytest.mark.parametrize(
    ("on_https", "host", "warned"),
    [(False, "shop.lan", True), (False, "localhost", False), (True, "shop.lan", False)],
)
def test_plain_http_on_the_network_is_warned_of(
    settings: Any, on_https: bool, host: str, warned: bool
) -> None:
    settings.ON_HTTPS = on_https
    settings.ALLOWED_HOSTS = [host]
    assert bool(said("shopfloor.W002")) == warned
