"""The page of the whole log: newest first, by day, frame and person; never is all of it read."""

from datetime import timedelta
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from shopfloor.office import desk, log_all
from tests.pages.floor import Floor
from tests.pages.reading import errors, words

pytestmark = pytest.mark.django_db
ALL = "/office/log/all/"


def notes(floor: Floor, count: int, frame: Any = None, **more: Any) -> None:
    """Notes 1, 2, 3 …, each a minute older than the one before."""
    floor.send(
        [
            floor.entry("note", {"note": f"Note {n}."}, frame, hours=1 + n / 60, **more)
            for n in range(1, count + 1)
        ]
    )


def told(client: Client, address: str = ALL) -> list[str]:
    return [line.told for line in client.get(address).context["history"]["lines"]]


def test_nothing_yet(sol: Client, floor: Floor) -> None:
    assert "No entry is like that." in words(sol.get(ALL))


def test_the_tabs_lead_there(sol: Client, floor: Floor) -> None:
    assert f'href="{ALL}"' in sol.get("/office/log/").content.decode()


def test_newest_first_with_frame_person_and_device(sol: Client, floor: Floor) -> None:
    frame = floor.frame(417)
    floor.tell("note", {"note": "Later"}, frame, hours=1)
    floor.tell("note", {"note": "Earlier"}, hours=2)
    said = words(sol.get(ALL))
    assert said.index("Later") < said.index("Earlier")
    assert f"{frame.code} Later Ines press phone" in said


def test_pages_go_on_where_the_last_one_ended(sol: Client, floor: Floor) -> None:
    same = timezone.now().isoformat(timespec="milliseconds")
    floor.send([floor.entry("note", {"note": f"n{n}"}, occurred_at=same) for n in range(130)])
    seen, address = [], ALL
    while address:
        answer = sol.get(address)
        page = [line.told for line in answer.context["history"]["lines"]]
        assert len(page) <= log_all.PER_PAGE
        seen += page
        following = answer.context["found"].following
        address = f"{ALL}?after={following}" if following else ""
    assert sorted(seen) == sorted(f"n{n}" for n in range(130))


def test_by_day(sol: Client, floor: Floor) -> None:
    floor.tell("note", {"note": "Long ago"}, hours=24 * 9)
    floor.tell("note", {"note": "Lately"}, hours=24 * 3)
    day = timezone.localdate(timezone.now() - timedelta(days=9))
    assert told(sol, f"{ALL}?day={day}") == ["Long ago"]


def test_by_frame(sol: Client, floor: Floor) -> None:
    frame, other = floor.frame(1), floor.frame(2)
    floor.tell("note", {"note": "Here"}, frame)
    floor.tell("note", {"note": "There"}, other)
    for typed in (frame.code, "1"):
        assert told(sol, f"{ALL}?frame={typed}") == ["Here"]


def test_by_person(sol: Client, floor: Floor) -> None:
    jon = floor.make("operator", name="Jon")
    floor.tell("note", {"note": "By Ines"})
    floor.tell("note", {"note": "By Jon"}, operator=str(jon.pk))
    desk.write(
        "note",
        {"note": "By Sol"},
        by="sol",
        id=desk.new_id(timezone.now()),
        frame=str(floor.frame(1).pk),
    )
    assert told(sol, f"{ALL}?person={jon.pk}") == ["By Jon"]
    assert told(sol, f"{ALL}?person=desk:sol") == ["By Sol"]


def test_a_person_is_looked_for_a_part_of_the_log_at_a_time(
    sol: Client, floor: Floor, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(log_all, "LOOK_THROUGH", 10)
    jon = floor.make("operator", name="Jon")
    notes(floor, 25)
    floor.tell("note", {"note": "By Jon"}, operator=str(jon.pk), hours=200)
    pages, address = [], f"{ALL}?person={jon.pk}"
    while address:
        answer = sol.get(address)
        pages.append([line.told for line in answer.context["history"]["lines"]])
        assert ("Looked through as far back as" in words(answer)) == (len(pages) < 3)
        following = answer.context["found"].following
        address = f"{ALL}?person={jon.pk}&after={following}" if following else ""
    assert pages == [[], [], ["By Jon"]]


@pytest.mark.parametrize(
    ("asked", "field"),
    [
        ("day=yesterday", "day"),
        ("day=9999-12-31", "day"),
        ("day=0001-01-01", "day"),
        ("frame=F9999-0", "frame"),
        ("frame=x", "frame"),
        ("person=0192aaaa-0000-7000-8000-000000000009", "person"),
    ],
)
def test_what_cannot_be_read_is_said_at_its_field(
    asked: str, field: str, sol: Client, floor: Floor
) -> None:
    floor.tell("note", {"note": "Hello"})
    answer = sol.get(f"{ALL}?{asked}")
    assert list(errors(answer)) == [field]
    assert "Hello" not in words(answer)


def test_a_frame_that_is_not_there_is_told_by_value_and_remedy(sol: Client, floor: Floor) -> None:
    said = errors(sol.get(f"{ALL}?frame=999"))
    assert said == {"frame": ["“999”: No frame has this code. Look at its label again."]}


@pytest.mark.parametrize("after", ["x", "-1", "9" * 40, "²", ""])
def test_a_place_that_is_none_shows_the_newest(after: str, sol: Client, floor: Floor) -> None:
    floor.tell("note", {"note": "Hello"})
    assert told(sol, f"{ALL}?after={after}") == ["Hello"]


def asked_of_entries(client: Client, address: str) -> list[str]:
    with CaptureQueriesContext(connection) as caught:
        assert client.get(address).status_code == 200
    return [q["sql"] for q in caught.captured_queries if 'FROM "frames_entry"' in q["sql"]]


@pytest.mark.parametrize("more", ["", "day", "person", "after"])
def test_no_page_reads_or_counts_the_whole_log(more: str, mara: Client, floor: Floor) -> None:
    notes(floor, 120, floor.frame(1))
    following = mara.get(ALL).context["found"].following
    values = {"day": timezone.localdate(), "person": floor.operator.pk, "after": following}
    asked = asked_of_entries(mara, f"{ALL}?{more}={values[more]}" if more else ALL)
    assert asked
    for sql in asked:
        assert "COUNT(" not in sql
        assert " LIMIT " in sql or " IN (" in sql or '"seq" = ' in sql, sql


@pytest.mark.skipif(connection.vendor != "sqlite", reason="reads the plans of SQLite")
@pytest.mark.parametrize("more", ["", "?after=1"])
def test_the_page_walks_along_the_index_of_times(more: str, mara: Client, floor: Floor) -> None:
    notes(floor, 3)
    [sql] = [sql for sql in asked_of_entries(mara, f"{ALL}{more}") if "LIMIT 51" in sql]
    with connection.cursor() as cursor:
        cursor.execute(f"EXPLAIN QUERY PLAN {sql}")
        plan = [row[3] for row in cursor.fetchall()]
    assert any("USING" in step and "corrected_at" in step for step in plan), plan
