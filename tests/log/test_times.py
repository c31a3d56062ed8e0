"""Times as phones write them, against the standard library and hand-worked cases."""

from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from frames.times import milliseconds, moment, reckoned_ms, utc_text


@given(st.integers(0, 7_258_118_399_999))
def test_text_and_count_are_one(at_ms: int) -> None:
    assert milliseconds(utc_text(at_ms)) == at_ms
    assert moment(at_ms) == datetime.fromtimestamp(at_ms // 1000, UTC).replace(
        microsecond=at_ms % 1000 * 1000
    )


@pytest.mark.parametrize(
    ("text", "utc"),
    [
        ("2026-11-25T10:42:07.123+01:00", "2026-11-25T09:42:07.123Z"),
        ("2026-11-25T00:15:00.000+05:30", "2026-11-24T18:45:00.000Z"),
        ("2026-03-29T02:30:00.000+01:00", "2026-03-29T01:30:00.000Z"),
        ("2024-02-29T23:59:59.999-03:00", "2024-03-01T02:59:59.999Z"),
    ],
)
def test_zones_are_taken_out(text: str, utc: str) -> None:
    assert utc_text(milliseconds(text)) == utc


@pytest.mark.parametrize(
    "text",
    [
        "2026-11-25T10:42:07+01:00",
        "2026-11-25T10:42:07.123",
        "2026-11-25 10:42:07.123Z",
        "2026-02-30T10:42:07.123Z",
        "2026-11-25T10:42:07.123+25:00",
        "1969-12-31T23:59:59.999Z",
        "2201-01-01T00:00:00.000Z",
        "２026-11-25T10:42:07.123Z",
        "",
    ],
)
def test_other_texts_are_no_times(text: str) -> None:
    with pytest.raises(ValueError, match=r"."):
        milliseconds(text)


def test_a_clock_before_1970_after_correction_still_has_a_text() -> None:
    assert utc_text(-1) == "1969-12-31T23:59:59.999Z"


@pytest.mark.parametrize("year", [1870, 1970, 2200, 2300])
def test_a_reckoned_time_comes_back_whatever_the_year(year: int) -> None:
    """A clock that is a century off moves an entry out of the years that it may name."""
    at_ms = round(datetime(year, 3, 1, tzinfo=UTC).timestamp() * 1000) + 7
    assert reckoned_ms(utc_text(at_ms)) == at_ms
