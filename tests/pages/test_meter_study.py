"""The study of a meter: what is typed becomes a table, what is wrong is named by its line."""

import pytest
from django import forms
from django.test import Client

from shopfloor.office.meter_study import as_table
from tests.pages.floor import Floor

pytestmark = pytest.mark.django_db
PAGE = "/office/shop/meters/study/"
GOOD = """Ines; centre; 21,5 21.5 22
Ilka; centre; 21½ 21.5 21.5
Ines; corner; 15 15 15.5
Ilka; corner; 15 15 15
Ines; edge; 28 28 28
Ilka; edge; 28 28.5 28
"""


def test_lines_become_people_places_and_trials(floor: Floor) -> None:
    assert as_table(GOOD) == [
        [[21.5, 21.5, 22.0], [15.0, 15.0, 15.5], [28.0, 28.0, 28.0]],
        [[21.5, 21.5, 21.5], [15.0, 15.0, 15.0], [28.0, 28.5, 28.0]],
    ]


def test_a_good_meter_is_called_good(floor: Floor, mara: Client) -> None:
    """Mean range 0.25, so repeatability 0.25 x 0.5908 = 0.15."""
    shown = mara.post(PAGE, {"readings": GOOD}).content.decode()
    assert "This meter tells screens apart well." in shown
    assert "± 0.15" in shown


def test_a_meter_that_scatters_is_called_poor(floor: Floor, mara: Client) -> None:
    lines = "a; x; 20 24\nb; x; 25 19\na; y; 23 18\nb; y; 20 25"
    assert "hide what they should show" in mara.post(PAGE, {"readings": lines}).content.decode()


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("Ines; centre", "Line 1: write who; where; readings."),
        ("\nInes; centre; 21 x", "Line 2: 21 x is not a row of readings."),
        ("a; x; 20 20\na; x; 20 20", "Line 2: a has read this place already."),
        ("a; x; 20 20\nb; y; 20 20", "a did not read y: everybody reads every place."),
        ("a; x; 20 20\nb; x; 20 20 20", "Read every place equally often"),
    ],
)
def test_what_is_wrong_is_named(floor: Floor, text: str, said: str) -> None:
    with pytest.raises(forms.ValidationError, match=said.replace(".", r"\.")):
        as_table(text)


def test_too_small_a_study_keeps_what_was_typed(floor: Floor, mara: Client) -> None:
    shown = mara.post(PAGE, {"readings": "Ines; centre; 21 21"}).content.decode()
    assert "Give 2 or 3 people" in shown
    assert "Ines; centre; 21 21" in shown
