"""/health and /favicon.ico."""

from pathlib import Path
from typing import Any

import pytest
from django.db import OperationalError
from django.test import Client

from frames import feed
from shopfloor import build

pytestmark = pytest.mark.django_db


def test_it_is_well_and_says_which_build_it_runs() -> None:
    response = Client().get("/health")
    assert response.json() == {"status": "ok", "build": build.current().id}
    assert response["Cache-Control"] == "no-store"


def test_without_its_database_it_is_not(monkeypatch: Any) -> None:
    def fail() -> None:
        raise OperationalError("unable to open database file")

    monkeypatch.setattr(feed, "head", fail)
    response = Client().get("/health")
    assert (response.status_code, response.json()) == (503, {"status": "no database"})


def test_the_icon_that_browsers_ask_for_unasked(tmp_path: Path, settings: Any) -> None:
    settings.DEBUG = True
    settings.STATICFILES_DIRS = [tmp_path]
    assert Client().get("/favicon.ico").status_code == 404
    (tmp_path / "favicon.ico").write_bytes(b"an icon")
    response = Client().get("/favicon.ico")
    assert (response.content, response["Content-Type"]) == (b"an icon", "image/x-icon")
