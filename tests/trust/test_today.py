"""Today says how old the last good backup is."""

from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from django.utils import timezone

from shopfloor.backup import keeping
from tests.api import cast

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("age", "says", "too_old"),
    [
        (None, "No backup was made yet.", False),
        (3, "Last good backup", False),
        (80, "Last", True),
        (-7200, "That is yet to come", False),
    ],
)
def test_the_last_good_backup(
    age: int | None, says: str, too_old: bool, tmp_path: Path, settings: Any
) -> None:
    settings.TAUTBOOK_DATA = tmp_path
    if age:
        keeping.note(timezone.now() - timedelta(hours=age), tmp_path / "x.backup", 7)
    cast.shop()
    desk = cast.signed_in(cast.person("sol", "screen room"))
    text = desk.get("/office/").content.decode()
    assert says in text
    assert ("That is too long ago" in text) == too_old
