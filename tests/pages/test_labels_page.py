"""Labels: frames by code, number or row of numbers; the stock; the first free label."""

import re
from urllib.parse import parse_qs, urlsplit

import pytest
from django.test import Client

from shopfloor import places
from shopfloor.labels import STOCKS
from tests.pages.floor import Floor
from tests.pages.reading import errors, fields, words

pytestmark = pytest.mark.django_db
LABELS = "/office/labels/"


@pytest.fixture
def rack(floor: Floor) -> Floor:
    for number in (417, 420, 421, 423):
        floor.frame(number, second_name=f"K{number}")
    return floor


def asked(client: Client, **typed: str) -> dict:
    """What the sheet's address asks for, and the PDF behind it."""
    response = client.get(LABELS, {"stock": "a4-14", "start": "1", **typed})
    assert response.status_code == 302, errors(response)
    assert client.get(response["Location"]).content.startswith(b"%PDF")
    return parse_qs(urlsplit(response["Location"]).query)


@pytest.mark.parametrize(
    ("typed", "count"),
    [("417", 1), ("F0417-N", 1), ("f0417n k420", 2), ("420–423", 3), ("417, 420 - 421; 417", 3)],
)
def test_frames_are_named_as_people_name_them(
    typed: str, count: int, sol: Client, rack: Floor
) -> None:
    query = asked(sol, frames=typed, start="3")
    assert (len(query["frame"]), query["stock"], query["start"]) == (count, ["a4-14"], ["3"])


def test_a_check_character_that_is_a_digit_is_no_row_of_numbers(sol: Client, floor: Floor) -> None:
    codes = [floor.frame(number).code for number in (1, 39, 47)]
    assert all(code[-1].isdigit() for code in codes)
    assert len(asked(sol, frames=" ".join(codes))["frame"]) == 3
    page = sol.get(LABELS, {"stock": "a4-14", "start": "1", "frames": "1-50 700-800"})
    assert errors(page) == {"frames": ["“700–800”: no frame has these numbers."]}


def test_each_sheet_is_drawn_as_its_labels_are_counted(sol: Client, rack: Floor) -> None:
    page = sol.get(LABELS).content.decode()
    drawn = re.findall(r'<svg class="counted".*?</svg>', page, re.DOTALL)
    assert len(drawn) == len(STOCKS)
    for svg, stock in zip(drawn, STOCKS.values(), strict=True):
        assert f"A sheet of {stock.columns} × {stock.rows} labels" in svg
        numbers = [int(n) for n in re.findall(r">(\d+)</text>", svg)]
        assert numbers == list(range(1, stock.cells + 1))
        assert len(set(re.findall(r'<rect x="(\d+)"', svg))) == stock.columns
        assert len(set(re.findall(r'y="(\d+)" width', svg))) == stock.rows
    styles = (places.ROOT / "static/src/css/office-forms.css").read_text()
    assert f"nth-child({len(STOCKS)}):checked) .counted" in styles


@pytest.mark.parametrize(
    ("typed", "field", "sentence"),
    [
        ({"frames": ""}, "frames", "Nothing written. Give at least one frame, like 417."),
        (
            {"frames": "417 999"},
            "frames",
            "“999”: No frame has this code. Look at its label again.",
        ),
        (
            {"frames": "F0417-M"},
            "frames",
            "“F0417-M”: One character is wrong: compare it with the label again.",
        ),
        (
            {"frames": "4" * 5000},
            "frames",
            f"“{'4' * 39}…”: Type the code as printed, for example F0417-N.",
        ),
        (
            {"frames": "²"},
            "frames",
            "“²”: Type the code as printed, for example F0417-N.",
        ),
        ({"frames": "500-600"}, "frames", "“500–600”: no frame has these numbers."),
        ({"frames": "417", "start": "15"}, "start", "“15”: this sheet has labels 1 to 14."),
        ({"frames": "417", "start": "one"}, "start", "“one” is not a number. Write it like 22."),
    ],
)
def test_bad_input_names_field_value_and_remedy(
    typed: dict, field: str, sentence: str, sol: Client, rack: Floor
) -> None:
    response = sol.get(LABELS, {"stock": "a4-14", "start": "1", **typed})
    assert errors(response) == {field: [sentence]}
    assert fields(response)["frames"] == typed["frames"]


def test_the_table_of_frames_hands_its_rows_over(sol: Client, rack: Floor) -> None:
    page = sol.get(LABELS, {"frames": ["F0417-N", "F0420-A"]})
    assert fields(page)["frames"] == "F0417-N F0420-A"
    assert 'name="frames" value="F0417-N"' in sol.get("/office/frames/").content.decode()


def test_what_the_label_file_cannot_do_becomes_a_page(sol: Client, rack: Floor) -> None:
    response = sol.get("/office/labels/sheet.pdf", {"frame": "none"})
    assert response.status_code == 400
    response.status_code = 200
    assert "Choose the frames on the labels page." in words(response)


@pytest.mark.parametrize(("stock", "begins"), [("roll-pdf", b"%PDF"), ("roll-png", b"PK")])
def test_a_roll_is_asked_for_by_its_measures(
    stock: str, begins: bytes, sol: Client, rack: Floor
) -> None:
    typed = {"frames": "417", "stock": stock, "start": "1", "width": "76,2", "height": "51"}
    response = sol.get(LABELS, typed | {"dpi": "300"})
    assert response.status_code == 302, errors(response)
    query = parse_qs(urlsplit(response["Location"]).query)
    assert [query[name] for name in ("width", "height", "dpi")] == [["76.2"], ["51.0"], ["300"]]
    assert sol.get(response["Location"]).content.startswith(begins)


def test_a_roll_without_measures_is_asked_for_them(sol: Client, rack: Floor) -> None:
    typed = {"frames": "417", "stock": "roll-pdf", "start": "1", "dpi": "203"}
    missing = ["Nothing written. Measure the label and give it in mm."]
    assert errors(sol.get(LABELS, typed)) == {"width": missing, "height": missing}


def test_measures_of_a_roll_stand_apart_from_the_place_on_a_sheet(sol: Client) -> None:
    """The page shows only the part that the chosen stock asks for."""
    page = sol.get(LABELS).content.decode()
    page, _, _ = page.partition("<footer")
    _, sheet, roll = re.split(r'<div class="of-(?:sheet|roll)">', page)
    assert re.findall(r'name="(\w+)"', sheet) == ["start"]
    assert re.findall(r'name="(\w+)"', roll) == ["width", "height", "dpi"]
