"""Mara manages the shop, Sol works in the screen room; both have signed in."""

from pathlib import Path
from typing import Any

import pytest
from django.test import Client

from tests.api.cast import person, signed_in
from tests.pages.floor import Floor


@pytest.fixture(autouse=True)
def own_data_folder(settings: Any, tmp_path: Path) -> None:
    settings.TAUTBOOK_DATA = tmp_path
    # passwords of a test need not resist anyone
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]


@pytest.fixture
def floor(db: None) -> Floor:
    return Floor()


@pytest.fixture
def mara(db: None) -> Client:
    return signed_in(person("mara", "manager"))


@pytest.fixture
def sol(db: None) -> Client:
    return signed_in(person("sol", "screen room"))
