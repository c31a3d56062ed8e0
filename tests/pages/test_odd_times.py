"""What a phone says of itself has no hold over pages: times without zone, out of all range."""

from typing import Any

import pytest
from django.test import Client

from shopfloor.models import Device
from tests.api.cast import device_of, enrolled
from tests.pages.floor import Floor
from tests.pages.reading import words

pytestmark = pytest.mark.django_db
PAGES = ("/office/", "/office/phones/")
WITHOUT_ZONE = "2026-01-01T00:00:00"


@pytest.mark.parametrize(
    "time", [WITHOUT_ZONE, "2026-01-01", "0001-01-01T00:00:00Z", "9999-12-31T23:59:59-12:00"]
)
@pytest.mark.parametrize("field", ["oldest_at", "started_at"])
def test_an_odd_time_is_not_kept(field: str, time: str, mara: Client, floor: Floor) -> None:
    phone = enrolled("Odd clock")
    said = {
        "outbox": {"unsent": 3, "oldest_at": time if field == "oldest_at" else None},
        "install": {"started_at": time, "reason": "numbering lost"},
    }
    phone.push(**said)
    assert device_of(phone).last_seen["unsent"] == 3, "the rest of what it says is kept"
    for page in PAGES:
        assert mara.get(page).status_code == 200, page


def test_a_time_with_a_pull_needs_a_zone_too(mara: Client, floor: Floor) -> None:
    phone = enrolled("Odd clock")
    phone.take_snapshot()
    assert phone.ask_changes(unsent=3, oldest_at=WITHOUT_ZONE).status_code == 200
    for page in PAGES:
        assert mara.get(page).status_code == 200, page


@pytest.mark.parametrize(
    "kept",
    [
        {"unsent": 3, "oldest_at": WITHOUT_ZONE},
        {"started_at": "2999-01-01T00:00:00", "reason": "numbering lost"},
    ],
)
def test_what_was_kept_of_old_is_read_as_utc(
    kept: dict[str, Any], mara: Client, floor: Floor
) -> None:
    phone = enrolled("Odd clock")
    Device.objects.filter(pk=device_of(phone).pk).update(last_seen=kept)
    for page in PAGES:
        response = mara.get(page)
        assert response.status_code == 200, page
        assert "Odd clock" in words(response)
