"""A press on its own page: stations, clamps, reachable bolts; its adjusters, one form each."""

from typing import Any

import pytest
from django.http import HttpResponse
from django.test import Client

from frames import things
from frames.mechanics.adjusters import Adjuster
from frames.models import Feed, Press
from tests.pages.floor import Floor
from tests.pages.reading import errors, fields, words

pytestmark = pytest.mark.django_db
SIDE = {
    "name": "side wheel",
    "right": "105",
    "away": "50",
    "moves": "right",
    "mm_per_division": "1,25",
    "division": "turns",
    "smallest": "0.25",
    "backlash": "½",
    "order": "1",
}
CLAMPS = [
    {"side": "left", "from_mm": None, "to_mm": None},
    {"side": "right", "from_mm": 500, "to_mm": 700},
    {"side": "far", "from_mm": 0, "to_mm": 250},
]


def page_of(floor: Floor) -> str:
    return f"/office/shop/presses/{floor.press.pk}/page/"


def new_of(floor: Floor) -> str:
    return f"/office/shop/presses/{floor.press.pk}/adjusters/new/"


def add(client: Client, floor: Floor, **typed: Any) -> HttpResponse:
    return client.post(new_of(floor), fields(client.get(new_of(floor))) | SIDE | typed)


def adjusters(floor: Floor) -> list[dict[str, Any]]:
    return Press.objects.get(pk=floor.press.pk).adjusters


def test_an_adjuster_is_saved_in_the_form_that_advice_takes(sol: Client, floor: Floor) -> None:
    assert add(sol, floor)["Location"] == page_of(floor)
    [one] = adjusters(floor)
    assert Adjuster(**one) == Adjuster(
        "side wheel", 1.05, 0.5, "right", 1.25, "clockwise", "anticlockwise", "turns",
        smallest=0.25, backlash=0.5, order=1, most=1000,
    )  # fmt: skip
    assert Feed.objects.latest("seq").body["adjusters"] == [one]


BAD = [
    ("name", "", "Nothing written. Fill it in."),
    ("right", "400", "“400”: Give where it acts, from -200 to 300 % of the frame."),
    ("mm_per_division", "0", "“0”: Give its travel per division, from 0.0001 to 50 mm."),
    ("backlash", "loose", "“loose” is not a number. Write it like 0.5."),
    ("smallest", "20", "“20”: Give the smallest part one can set, from 0.001 to 10."),
    ("order", "1.5", "“1.5” is not a whole number. Write it like 1."),
]


@pytest.mark.parametrize(("field", "typed", "sentence"), BAD)
def test_bad_input_names_field_value_and_remedy(
    field: str, typed: str, sentence: str, sol: Client, floor: Floor
) -> None:
    response = add(sol, floor, **{field: typed})
    assert errors(response) == {field: [sentence]}
    held = fields(response)
    assert (held[field], held["plus"]) == (typed, "clockwise")
    assert adjusters(floor) == []


def test_two_of_one_name_are_told_apart(sol: Client, floor: Floor) -> None:
    add(sol, floor)
    response = add(sol, floor, name="Side Wheel")
    assert errors(response) == {
        "name": ["“Side Wheel”: Give every adjuster its own name: this press has this one."]
    }


def test_a_press_has_at_most_twelve(sol: Client, floor: Floor) -> None:
    many = [Adjuster(f"wheel {n}", 0, 0, "away", 0.1) for n in range(12)]
    values = {"adjusters": [vars(one) for one in many]}
    things.change("press", floor.press.pk, values, 1, "desk:mara")
    assert errors(add(sol, floor)) == {"__all__": ["“13”: Keep to 12 adjusters for one press."]}


def test_one_is_changed_and_taken_away(sol: Client, floor: Floor) -> None:
    add(sol, floor)
    add(sol, floor, name="left wheel", right="0", moves="away", order="0")
    address = f"/office/shop/presses/{floor.press.pk}/adjusters/1/"
    held = fields(sol.get(address))
    assert (held["name"], held["right"], held["backlash"]) == ("left wheel", "0", "0.5")
    sol.post(address, held | {"name": "front wheel", "plus": "in"})
    assert [(one["name"], one["plus"]) for one in adjusters(floor)] == [
        ("side wheel", "clockwise"),
        ("front wheel", "in"),
    ]
    gone = sol.post(address, fields(sol.get(address)) | {"away-with-it": "1"}, follow=True)
    assert "Taken away: front wheel." in words(gone)
    assert [one["name"] for one in adjusters(floor)] == ["side wheel"]
    assert sol.get(address).status_code == 404


def test_someone_else_took_another_away_meanwhile(sol: Client, mara: Client, floor: Floor) -> None:
    add(sol, floor)
    add(sol, floor, name="left wheel")
    address = f"/office/shop/presses/{floor.press.pk}/adjusters/"
    mine = fields(sol.get(f"{address}1/"))
    mara.post(f"{address}0/", fields(mara.get(f"{address}0/")) | {"away-with-it": "1"})
    more = [*adjusters(floor), adjusters(floor)[0] | {"name": "third"}]
    things.change("press", floor.press.pk, {"adjusters": more}, 4, "desk:mara")
    response = sol.post(f"{address}1/", mine | {"backlash": "2"})
    assert "Someone changed this while you were typing" in words(response)
    sol.post(f"{address}1/", fields(response))
    assert [(one["name"], one["backlash"]) for one in adjusters(floor)] == [
        ("left wheel", 2),
        ("third", 0.5),
    ]


def test_clamps_and_name_keep_the_adjusters(sol: Client, floor: Floor) -> None:
    add(sol, floor)
    address = f"/office/shop/presses/{floor.press.pk}/"
    response = sol.post(address, fields(sol.get(address)) | {"name": "Press 9"}, follow=True)
    assert "Press 9" in words(response)
    assert len(adjusters(floor)) == 1


def test_the_page_shows_stations_and_what_can_be_reached(sol: Client, floor: Floor) -> None:
    things.change("press", floor.press.pk, {"clamps": CLAMPS}, 1, "desk:mara")
    add(sol, floor)
    frame = floor.screen(floor.frame(1), 22)
    floor.expose(frame)
    floor.on_press(frame, station=4)
    floor.tweak(frame)
    page = sol.get(page_of(floor))
    said = words(page)
    assert "3 empty 4 F0001-" in said
    assert "job 2291 , blue 1 tweak without after marks" in said
    # A 200 500 800; B 200 600; C counted from the right: 800 500 200; D from the far end
    assert "1000 × 800 mm A1–A3 of 3 B1 of 2 C1, C2 of 3 none of 2" in said
    assert "1 side wheel 105 50 clockwise minus: anticlockwise to the right 1.25 turns" in said
    drawn = page.context["drawing"]
    far = drawn["clamps"][2]
    assert (far.x, far.width) == (140, 90)
    assert [arrow.name for arrow in drawn["arrows"]] == ["side wheel"]


def test_a_frame_at_no_station_of_this_press_is_still_seen(sol: Client, floor: Floor) -> None:
    floor.on_press(floor.screen(floor.frame(1), 22), station=60)
    assert "? F0001-" in words(sol.get(page_of(floor)))
