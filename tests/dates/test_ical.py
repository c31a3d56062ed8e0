"""The writer of calendars against the letter of RFC 5545."""

from datetime import UTC, date, datetime

from hypothesis import given
from hypothesis import strategies as st

from shopfloor.dates.ical import Event, calendar
from tests.dates.reading import events, unfolded

NOW = datetime(2026, 11, 25, 9, 30, tzinfo=UTC)
WORDS = st.text(st.characters(exclude_categories=["Cs", "Cc"]), max_size=200)


def written(*told: Event) -> list[dict[str, str]]:
    return events(calendar("Quay Street Print", told, NOW).encode())


def test_an_hour_and_a_day() -> None:
    hour, day = written(
        Event("a@b", datetime(2026, 12, 3, 14, 5, tzinfo=UTC), "Coat F0417-N"),
        Event("c@d", date(2026, 12, 31), "Job 2291"),
    )
    assert hour["DTSTART"] == "20261203T140500Z"
    assert hour["DTEND"] == "20261203T143500Z"
    assert day["DTSTART;VALUE=DATE"] == "20261231"
    assert day["DTEND;VALUE=DATE"] == "20270101"
    assert hour["DTSTAMP"] == "20261125T093000Z"
    assert (hour["UID"], day["UID"]) == ("a@b", "c@d")


@given(WORDS, WORDS)
def test_whatever_is_written_reads_back(summary: str, description: str) -> None:
    (event,) = written(Event("a@b", date(2026, 12, 3), summary, description))
    assert event["SUMMARY"] == summary
    assert event.get("DESCRIPTION", "") == description


def test_breaks_commas_and_semicolons_are_escaped() -> None:
    lines = unfolded(
        calendar("x", [Event("a", date(2026, 1, 1), "a, b; c\\d\nnext")], NOW).encode()
    )
    assert "SUMMARY:a\\, b\\; c\\\\d\\nnext" in lines
