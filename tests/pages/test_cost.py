"""What a page costs does not grow with the log."""

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from frames.models import Entry, Frame
from tests.pages.floor import Floor

pytestmark = pytest.mark.django_db
FEW, MANY = 6, 300
# Four of each are the session, the account and its groups.
MOST = {"/office/": 19, "/office/frames/": 14, "/office/jobs/": 6, "/office/pulse/": 6}
MOST |= {f"/office/screen-room/{page}": 13 for page in ("?days=all", "stencils/", "away/")}


@pytest.fixture
def frames(floor: Floor) -> list[Frame]:
    """Three frames on the press, with a job and tweaks."""
    made = [floor.screen(floor.frame(number), 18) for number in (1, 2, 3)]
    for frame in made:
        floor.on_press(frame)
        floor.expose(frame)
        floor.tweak(frame)
    return made


def more(floor: Floor, frames: list[Frame], count: int) -> None:
    made = []
    for number in range(count):
        frame = frames[number % len(frames)]
        made.append(floor.reading(frame, 18, 19, hours=1 + number / 1000))
        made.append(floor.entry("note", {"note": "Creaks"}, frame))
    floor.send(made)


def queries(client: Client, address: str) -> list[str]:
    client.get(address)  # the first page of a session also writes when it began
    with CaptureQueriesContext(connection) as caught:
        assert client.get(address).status_code == 200
    return [query["sql"] for query in caught.captured_queries]


@pytest.mark.parametrize("address", MOST)
def test_ten_times_the_log_asks_no_more(
    address: str, mara: Client, floor: Floor, frames: list[Frame]
) -> None:
    more(floor, frames, FEW)
    before, entries = queries(mara, address), Entry.objects.count()
    more(floor, frames, MANY)
    assert Entry.objects.count() >= 10 * entries
    after = queries(mara, address)
    assert len(after) == len(before) <= MOST[address]


def test_burst_meshes_are_told_of_together(mara: Client, floor: Floor, frames: list[Frame]) -> None:
    """Who could follow is looked up once for all of them."""
    asked = []
    for frame in frames[:2]:
        floor.tell("burst", {"where": "edge", "note": ""}, frame)
        asked.append(len(queries(mara, "/office/")))
    assert asked[0] == asked[1]


def entry_plans(asked: list[str]) -> list[str]:
    """How the database would look for what these queries want of the entries."""
    plans = []
    for sql in asked:
        if '"frames_entry"' in sql:
            with connection.cursor() as cursor:
                cursor.execute(f"EXPLAIN QUERY PLAN {sql}")
                plans += [row[3] for row in cursor.fetchall()]
    return [plan for plan in plans if "frames_entry" in plan]


@pytest.mark.skipif(connection.vendor != "sqlite", reason="reads the plans of SQLite")
@pytest.mark.parametrize("address", MOST)
def test_no_page_walks_through_the_log(
    address: str, mara: Client, floor: Floor, frames: list[Frame]
) -> None:
    more(floor, frames, FEW)
    plans = entry_plans(queries(mara, address))
    assert not [plan for plan in plans if plan.startswith("SCAN") and "flagged" not in plan]


def test_one_frames_page_asks_the_same_whatever_its_history(
    mara: Client, floor: Floor, frames: list[Frame]
) -> None:
    address = f"/office/frames/{frames[0].pk}/"
    more(floor, frames, FEW)
    before = queries(mara, address)
    more(floor, frames, MANY)
    after = queries(mara, address)
    # which names are looked up depends on the kinds of entries that the page happens to show
    assert max(len(before), len(after)) <= 31


@pytest.mark.parametrize("page", ["", "sheet/"])
def test_a_jobs_pages_ask_the_same_whatever_its_history(
    page: str, mara: Client, floor: Floor, frames: list[Frame]
) -> None:
    address = f"/office/jobs/{floor.job.pk}/{page}"
    more(floor, frames, FEW)
    before = queries(mara, address)
    more(floor, frames, MANY)
    after = queries(mara, address)
    # a fixed number, and a few for each of its three stencils
    assert len(after) <= max(len(before), 45)
