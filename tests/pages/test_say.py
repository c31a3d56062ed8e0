"""Numbers, ages and sizes as people write them; and read back as people type them."""

from datetime import UTC, datetime, timedelta

import pytest
from django import forms

from shopfloor.office import say
from shopfloor.office.fields import (
    LengthField,
    NumberField,
    PlacesField,
    SpansField,
    read_count,
    read_number,
)

NOW = datetime(2026, 11, 25, 10, 42, tzinfo=UTC)


@pytest.mark.parametrize(
    ("value", "said"),
    [(22.0, "22"), (21.5, "21½"), (21.3, "21.3"), (20.25, "20.3"), (0.5, "½"), (-0.5, "−½"),
     (0, "0"), (-3, "−3"), (None, "")],
)  # fmt: skip
def test_a_reading(value: float | None, said: str) -> None:
    assert say.number(value) == said


@pytest.mark.parametrize(
    ("before", "said"),
    [
        (timedelta(seconds=20), "just now"),
        (timedelta(minutes=25), "25 min ago"),
        (timedelta(hours=3), "3 h ago"),
        (timedelta(hours=26), "yesterday"),
        (timedelta(days=12), "12 days ago"),
        (timedelta(minutes=-5), "just now"),
    ],
)
def test_an_age(before: timedelta, said: str) -> None:
    assert say.ago(NOW - before, NOW) == said


def test_never_is_an_age_too() -> None:
    assert say.ago(None, NOW) == "never"


def test_bolts_in_a_row_are_said_as_a_row() -> None:
    turns = {"A3": 8, "A1": 8, "A2": 8, "A10": 8, "B1": 8, "B2": 8, "C4": -16}
    assert say.turns(turns) == "A1–A3, A10, B1, B2 +1 flat; C4 −2 flats"


@pytest.mark.parametrize(
    ("turn", "step", "said"),
    [
        (16, 8, "+2 flats"),
        (-8, 8, "−1 flat"),
        (8, 6, "+1/6 turn"),
        (36, 6, "+3/4 turn"),
        (-6, 6, "−1/8 turn"),
        (3, 3, "+1/16 turn"),
        (48, 6, "+1 turn"),
        (96, 3, "+2 turns"),
        (-54, 6, "−1 1/8 turns"),
        (18, 8, "+3/8 turn"),
        (11, 8, "+11/48 turn"),
    ],
)
def test_turns_are_said_as_on_the_phone(turn: int, step: int, said: str) -> None:
    assert say.turn(turn, step) == said


# An inch is 25.4 mm exactly: international yard and pound agreement of 1959.
@pytest.mark.parametrize(
    ("mm", "said"), [(25.4, "1"), (1000, "39⅜"), (6.35, "¼"), (609.6, "24"), (12.7, "½")]
)
def test_inches_to_the_eighth(mm: float, said: str) -> None:
    assert say.inches(mm) == said


@pytest.mark.parametrize(
    ("text", "value"),
    [("22", 22), ("21,5", 21.5), ("21.5", 21.5), ("21½", 21.5), ("½", 0.5), ("39 3/8", 39.375),
     ("3/8", 0.375), ("−3", -3), ("+2", 2), (".5", 0.5), ("", None), ("tall", None),
     ("-1½", -1.5), ("−½", -0.5), ("-1 1/2", -1.5), ("½½", None), ("½" * 1100, None),
     ("9" * 400, None), ("9" * 5000, None), (f"1/{'9' * 5000}", None), ("1e400", None),
     ("٣", 3), ("4²", None), ("1.2.3", None), ("1,000.5", None), ("1/0", None),
     ("nan", None), ("1e3", None)],
)  # fmt: skip
def test_a_number_is_read_as_people_type_it(text: str, value: float | None) -> None:
    assert read_number(text) == value


def test_no_zero_has_a_sign() -> None:
    assert str(read_number("-0")) == "0.0"


@pytest.mark.parametrize(
    ("text", "count"),
    [("7", 7), ("0", 0), ("²", None), ("٣", None), ("", None), ("-1", None), ("9" * 5000, None)],
)
def test_a_version_is_read_in_plain_digits(text: str, count: int | None) -> None:
    assert read_count(text) == count


@pytest.mark.parametrize(
    ("unit", "text", "mm"),
    [("mm", "1000", 1000), ("mm", "100 cm", 1000), ("mm", "39,37 in", 999.998), ("mm", "1 m", 1000),
     ("in", "39 3/8", 1000.125), ("in", '24"', 609.6), ("in", "500 mm", 500)],
)  # fmt: skip
def test_a_length_may_bring_its_own_unit(unit: str, text: str, mm: float) -> None:
    assert LengthField(unit=unit).clean(text) == pytest.approx(mm, abs=0.0005)


def test_what_a_field_shows_it_reads_again() -> None:
    places, length = PlacesField(), LengthField(unit="in")
    assert places.clean(places.prepare_value([60.0, 190.5])) == [60, 190.5]
    assert length.clean(length.prepare_value(1016.0)) == 1016
    spans = SpansField()
    assert spans.clean(spans.prepare_value([(0.0, 200.0), (700.0, 900.0)])) == [
        (0, 200),
        (700, 900),
    ]
    assert spans.clean(spans.prepare_value([(None, None)])) == [(None, None)]


@pytest.mark.parametrize(
    ("field", "text", "sentence"),
    [
        (NumberField(), "tall", "“tall” is not a number. Write it like 22 or 21.5."),
        (NumberField(whole=True), "2.5", "“2.5” is not a whole number. Write it like 22."),
        (LengthField(), "wide", "“wide” is not a length. Write it like 1000."),
        (LengthField(unit="in"), "1/0", "“1/0” is not a length. Write it like 39 3/8."),
        (PlacesField(), "60 x", "“x” is not a place in mm. Write 60 190 320."),
        (
            PlacesField(),
            "60,190",
            "“60,190” could be one place or several. Put a space between places: 60 190 320.",
        ),
        (
            SpansField(),
            "half",
            "“half” is not a part of a side. Write from–to in mm, like 0–200, or whole.",
        ),
        (
            SpansField(),
            "300-200",
            "“300–200” ends before it begins. Write the smaller place first, like 0–200.",
        ),
        (
            NumberField(whole=True),
            "7" * 400,
            f"“{'7' * 39}…” is not a number. Write it like 22.",
        ),
        (PlacesField(), "1 " * 3001, "6001 characters are too many. Shorten it to 6000."),
        (SpansField(), "1 " * 3001, "6001 characters are too many. Shorten it to 6000."),
    ],
)
def test_what_cannot_be_read_says_how_to_write_it(
    field: forms.Field, text: str, sentence: str
) -> None:
    with pytest.raises(forms.ValidationError) as told:
        field.clean(text)
    assert told.value.messages == [sentence]
