"""New frames and changes to one: bolts typed or spaced, several at once, nothing typed is lost."""

import json
from html import unescape
from re import search
from typing import Any

import pytest
from django.http import HttpResponse
from django.test import Client

from frames import things
from frames.models import Frame
from shopfloor.office.frame_form import spaced
from tests.pages.floor import Floor
from tests.pages.reading import errors, fields, words

pytestmark = pytest.mark.django_db
NEW = "/office/frames/new/"
GOOD = {
    "inside_a_mm": "1000",
    "inside_b_mm": "800",
    "pitch_mm": "1,5",
    "bolts_a": "200 500 800",
    "bolts_b": "200 600",
    "bolts_c": "200; 500; 800",
    "bolts_d": "200, 600",
}


def make(client: Client, **typed: Any) -> HttpResponse:
    return client.post(NEW, fields(client.get(NEW)) | GOOD | typed)


def change(client: Client, frame: Frame, **typed: Any) -> HttpResponse:
    address = f"/office/frames/{frame.pk}/change/"
    return client.post(address, fields(client.get(address)) | typed)


def drawn(response: HttpResponse) -> dict:
    found = search(r'data-drawing="([^"]*)"', response.content.decode())
    assert found
    return json.loads(unescape(found[1]))["frame"]


def test_a_frame_is_made(sol: Client, floor: Floor) -> None:
    response = make(sol, number="417", second_name="K7", note="from the old shop")
    frame = Frame.objects.get()
    assert response["Location"] == f"/office/frames/{frame.pk}/"
    assert (frame.code, frame.second_name, frame.pitch_mm) == ("F0417-N", "K7", 1.5)
    assert frame.bolts == {
        "A": [200, 500, 800],
        "B": [200, 600],
        "C": [200, 500, 800],
        "D": [200, 600],
    }
    assert (frame.step_48ths, frame.head, frame.changed_by) == (8, "hex", "desk:sol")


def test_the_next_number_is_taken_where_none_is_given(sol: Client, floor: Floor) -> None:
    floor.frame(417)
    make(sol)
    assert Frame.objects.filter(number=418).exists()


def test_several_alike_at_once(sol: Client, floor: Floor) -> None:
    response = make(sol, number="20", how_many="3")
    assert sorted(Frame.objects.values_list("number", flat=True)) == [20, 21, 22]
    assert "Saved: F0020-U to F0022-Q." in words(sol.get(response["Location"]))


def test_several_are_all_made_or_none(sol: Client, floor: Floor) -> None:
    floor.frame(21)
    response = make(sol, number="20", how_many="3")
    assert errors(response)["number"] == ["“21”: Choose another number: a frame has this one."]
    assert Frame.objects.count() == 1


BAD = [
    ("inside_a_mm", "tall", "“tall” is not a length. Write it like 1000."),
    ("inside_a_mm", "", "Nothing written. Give a length in mm, like 1000."),
    ("inside_b_mm", "40", "“40”: Give the inside size in mm, from 50 to 6000, lock to lock."),
    ("pitch_mm", "", "Nothing written. Give a number, like 1.5."),
    ("pitch_mm", "9", "“9”: Give how far one turn moves the bolt, from 0.2 to 5 mm."),
    ("bolts_a", "", "Nothing written. Give places in mm, like 60 190 320."),
    ("bolts_a", "200 x 800", "“x” is not a place in mm. Write 60 190 320."),
    ("bolts_b", "600 200", "Give the bolt places in rising order, each once."),
    ("bolts_b", "200 900", "“900”: Keep the bolts within the side's 800 mm."),
    ("number", "0", "“0”: Give the frame a number from 1."),
    ("number", "4½", "“4½” is not a whole number. Write it like 22."),
    ("how_many", "500", "“500”: make 1 to 50 frames at once."),
    ("second_name", "x" * 41, "Shorten the second name to 40 characters."),
    ("profile", "round", "Select a valid choice. round is not one of the available choices."),
]


@pytest.mark.parametrize(("field", "typed", "sentence"), BAD)
def test_bad_input_is_told_beside_its_field_and_nothing_is_lost(
    field: str, typed: str, sentence: str, sol: Client, floor: Floor
) -> None:
    response = make(sol, **{"note": "kept", field: typed})
    assert errors(response) == {field: [sentence]}
    said = words(response)
    assert "Not saved yet" in said
    assert said.count(sentence) == 2, "once on top, once beside the field"
    held = fields(response)
    assert held["note"] == "kept"
    if field != "profile":
        assert held[field] == typed
    assert not Frame.objects.exists()


def test_second_names_are_given_one_by_one(sol: Client, floor: Floor) -> None:
    said = errors(make(sol, how_many="2", second_name="K7"))["second_name"]
    assert said == ["“K7”: Leave it empty for several frames. Give second names one by one later."]


def test_the_shop_comes_first(sol: Client) -> None:
    said = errors(make(sol))
    assert said == {"__all__": ["Set up the shop first: its name and the letters of its codes."]}


def test_bolts_are_spaced_evenly_and_nothing_is_saved(sol: Client, floor: Floor) -> None:
    empty = {f"bolts_{side}": "" for side in "abcd"}
    counts = {"count_a": "7", "count_b": "5", "count_d": "3", "edge_mm": "80", "space": "1"}
    response = make(sol, **empty, **counts, pitch_mm="")
    held = fields(response)
    assert held["bolts_a"] == held["bolts_c"] == "80 220 360 500 640 780 920"
    assert held["bolts_b"] == "80 240 400 560 720"
    assert held["bolts_d"] == "80 400 720"
    assert errors(response) == {}
    assert drawn(response)["bolts"]["B"] == [80, 240, 400, 560, 720]
    assert not Frame.objects.exists()


@pytest.mark.parametrize(
    ("typed", "field", "sentence"),
    [
        ({"inside_a_mm": "wide"}, "inside_a_mm", "“wide” is not a length. Write it like 1000."),
        ({"edge_mm": "400"}, "edge_mm", "“400”: give a place between 0 and 400 mm."),
        ({"count_a": "few"}, "count_a", "“few” is not a number. Write it like 22."),
    ],
)
def test_spacing_needs_a_size_and_an_edge_within_it(
    typed: dict, field: str, sentence: str, sol: Client, floor: Floor
) -> None:
    response = make(sol, **{"count_a": "5", "space": "1", **typed})
    assert errors(response) == {field: [sentence]}
    assert fields(response)["bolts_a"] == GOOD["bolts_a"]


def test_even_spacing_fills_the_side() -> None:
    assert spaced(1000, 5, 100) == [100, 300, 500, 700, 900]
    assert spaced(1000, 5, None) == [100, 300, 500, 700, 900]
    assert spaced(1000, 4, None) == [125, 375, 625, 875]
    assert spaced(1000, 1, 80) == [500]


def test_another_like_it(sol: Client, floor: Floor) -> None:
    like = floor.frame(417, second_name="K7", note="Bent at C")
    held = fields(sol.get(NEW, {"like": str(like.pk)}))
    assert (held["bolts_b"], held["inside_a_mm"]) == ("200 600", "1000")
    assert (held["number"], held["second_name"]) == ("", "")


def test_an_unused_frame_can_be_laid_anew(sol: Client, floor: Floor) -> None:
    frame = floor.frame(1)
    assert change(sol, frame, bolts_b="100 400 700").status_code == 302
    frame.refresh_from_db()
    assert (frame.bolts["B"], frame.version) == ([100, 400, 700], 2)


def test_the_bolts_of_a_used_frame_stay(sol: Client, floor: Floor) -> None:
    frame = floor.frame(1)
    floor.fit(frame)
    page = sol.get(f"/office/frames/{frame.pk}/change/")
    assert "This frame has been used, so its size and bolts stay." in words(page)
    assert page.content.decode().count("disabled") == 6
    response = change(sol, frame, bolts_b="100 400 700", inside_a_mm="900", note="Bent at C")
    assert response.status_code == 302
    frame.refresh_from_db()
    assert (frame.bolts["B"], frame.inside_a_mm, frame.note) == ([200, 600], 1000, "Bent at C")


def test_inches_in_and_out(sol: Client, floor: Floor) -> None:
    things.change("shop", floor.shop.pk, {"length_unit": "in"}, 1, "desk:mara")
    make(sol, inside_a_mm="39 3/8", inside_b_mm="800 mm")
    frame = Frame.objects.get()
    assert (frame.inside_a_mm, frame.inside_b_mm) == (1000.125, 800)
    page = sol.get(f"/office/frames/{frame.pk}/change/")
    assert fields(page)["inside_a_mm"] == "39.375"
    assert change(sol, frame, note="x").status_code == 302
    frame.refresh_from_db()
    assert frame.inside_a_mm == 1000.125


def test_retired_and_back(sol: Client, floor: Floor) -> None:
    frame = floor.frame(1)
    address = f"/office/retire/frame/{frame.pk}/"
    response = sol.post(address, {"version": "1"}, follow=True)
    assert f"{frame.code} is retired." in words(response)
    assert Frame.objects.get().retired
    stale = sol.post(address, {"version": "1", "back": "1"}, follow=True)
    assert "was changed meanwhile. Look at it, then try again." in words(stale)
    sol.post(address, {"version": "2", "back": "1"})
    assert not Frame.objects.get().retired
