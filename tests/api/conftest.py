"""Everyone in these tests, and a data folder of their own."""

from pathlib import Path
from typing import Any

import pytest
from django.contrib.auth.models import User

from shopfloor.models import Device
from tests.api.cast import Phone, enrolled, person


@pytest.fixture(autouse=True)
def own_data_folder(settings: Any, tmp_path: Path) -> None:
    settings.TAUTBOOK_DATA = tmp_path
    # passwords of a test need not resist anyone
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]


@pytest.fixture
def mara(db: None) -> User:
    return person("mara", "manager")


@pytest.fixture
def sol(db: None) -> User:
    return person("sol", "screen room")


@pytest.fixture
def phone(db: None) -> Phone:
    return enrolled()


@pytest.fixture
def other_phone(db: None) -> Phone:
    return enrolled("Press 3")


@pytest.fixture
def retired_phone(db: None) -> Phone:
    return enrolled("Old tablet", Device.Status.RETIRED)


@pytest.fixture
def blocked_phone(db: None) -> Phone:
    return enrolled("Lost phone", Device.Status.BLOCKED)


@pytest.fixture
def stranger() -> Phone:
    """A browser that was never let in."""
    return Phone()
