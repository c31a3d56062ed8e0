"""An open page asks where the feed stands, and reads itself again when that moved."""

from datetime import timedelta

import pytest
from django.test import Client
from django.utils import timezone

from tests.pages.floor import Floor

pytestmark = pytest.mark.django_db
PULSE = "/office/pulse/"
LIVE = ["/office/", "/office/frames/", "/office/jobs/", "/office/phones/", "/office/log/"]


def head(client: Client) -> str:
    response = client.get(PULSE)
    assert "no-store" in response.headers["Cache-Control"]
    return response.json()["head"]


def test_the_pulse_moves_with_entries_and_things_alone(sol: Client, floor: Floor) -> None:
    before = head(sol)
    assert head(sol) == before
    frame = floor.frame(1)
    made = head(sol)
    assert made != before
    floor.fit(frame)
    assert head(sol) not in (before, made)


def test_nobody_hears_it_without_signing_in(client: Client) -> None:
    response = client.get(PULSE)
    assert response.status_code == 302
    assert response["Location"].startswith("/office/sign-in/")


def test_a_page_that_looks_by_itself_keeps_nobody_signed_in(sol: Client, floor: Floor) -> None:
    sol.get(PULSE)
    an_hour_ago = (timezone.now() - timedelta(hours=1)).isoformat()
    session = sol.session
    session["seen_at"] = an_hour_ago
    session.save()
    sol.get(PULSE, headers={"X-By-Itself": "1"})
    assert sol.session["seen_at"] == an_hour_ago
    sol.get(PULSE)
    assert sol.session["seen_at"] > an_hour_ago


@pytest.mark.parametrize("address", LIVE)
def test_a_page_says_what_of_it_lives(address: str, mara: Client, floor: Floor) -> None:
    html = mara.get(address).content.decode()
    assert f'data-pulse="{PULSE}"' in html
    assert " data-live" in html


def test_the_part_that_lives_changes_and_the_filters_stay_outside(
    sol: Client, floor: Floor
) -> None:
    def parts() -> tuple[str, str]:
        html = sol.get("/office/frames/", {"search": "f0"}).content.decode()
        outside, inside = html.split('id="frames" data-live', 1)
        return outside, inside

    outside, inside = parts()
    floor.frame(417)
    assert "F0417-N" in parts()[1]
    assert "F0417-N" not in inside
    assert 'name="search" value="f0"' in outside
