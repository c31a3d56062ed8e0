"""Meshes, presses, meters and operators: tables, forms, conflicts."""

from typing import Any

import pytest
from django.http import HttpResponse
from django.test import Client

from frames import things
from frames.models import Mesh, Meter, Operator, Press
from tests.pages.floor import Floor
from tests.pages.reading import errors, fields, words

pytestmark = pytest.mark.django_db
MESH = {
    "name": "120-34 polyester",
    "count_per_cm": "120",
    "count_per_inch": "305",
    "thread_um": "34",
    "target_n_per_cm": "21",
    "tolerance_n_per_cm": "1,5",
    "cap_n_per_cm": "26",
}


def make(client: Client, slug: str, **typed: str) -> HttpResponse:
    address = f"/office/shop/{slug}/new/"
    return client.post(address, fields(client.get(address)) | typed)


def open_form(client: Client, slug: str, thing: Any) -> tuple[str, dict[str, str]]:
    address = f"/office/shop/{slug}/{thing.pk}/"
    return address, fields(client.get(address))


def test_a_mesh_with_its_card(sol: Client, floor: Floor) -> None:
    typed = MESH | {"opening_um": "45", "opening_um_origin": "measured", "ink_cm3_m2": "15"}
    assert make(sol, "meshes", **typed)["Location"] == "/office/shop/meshes/"
    mesh = Mesh.objects.get(name="120-34 polyester")
    assert (mesh.tolerance_n_per_cm, mesh.tension_min_n_per_cm) == (1.5, None)
    assert mesh.card == {
        "opening_um": {"value": 45, "origin": "measured"},
        "ink_cm3_m2": {"value": 15, "origin": "nominal"},
    }
    held = open_form(sol, "meshes", mesh)[1]
    assert (held["opening_um"], held["opening_um_origin"]) == ("45", "measured")


BAD = [
    ("name", "", "Nothing written. Fill it in."),
    ("count_per_cm", "", "Nothing written. Give a number, like 77."),
    ("count_per_cm", "900", "“900”: Give the threads per cm, from 1 to 300."),
    ("thread_um", "thin", "“thin” is not a number. Write it like 48."),
    ("target_n_per_cm", "28", "“28”: Keep the target at or below the cap of 26 N/cm."),
    ("tolerance_n_per_cm", "0", "“0”: Give a tolerance above 0, up to 50 N/cm."),
    ("cap_n_per_cm", "151", "“151”: Give a tension above 0, up to 150 N/cm."),
    ("opening_um", "-4", "“-4”: Give the value as it stands on the mesh card, above 0."),
]


@pytest.mark.parametrize(("field", "typed", "sentence"), BAD)
def test_bad_input_names_field_value_and_remedy(
    field: str, typed: str, sentence: str, sol: Client, floor: Floor
) -> None:
    response = make(sol, "meshes", **MESH | {"note": "kept", field: typed})
    assert errors(response) == {field: [sentence]}
    held = fields(response)
    assert (held[field], held["note"]) == (typed, "kept")
    assert Mesh.objects.count() == 1


def test_a_range_the_wrong_way_round(sol: Client, floor: Floor) -> None:
    response = make(sol, "meshes", **MESH, tension_min_n_per_cm="20", tension_max_n_per_cm="18")
    assert errors(response) == {
        "tension_max_n_per_cm": ["“18”: Give a largest tension of at least 20 N/cm."]
    }


def test_a_press_with_its_clamps(sol: Client, floor: Floor) -> None:
    make(sol, "presses", name="Press 3", stations="4", near="0-200 700–900", far="whole")
    press = Press.objects.get(name="Press 3")
    assert press.clamps == [
        {"side": "near", "from_mm": 0, "to_mm": 200},
        {"side": "near", "from_mm": 700, "to_mm": 900},
        {"side": "far", "from_mm": None, "to_mm": None},
    ]
    held = open_form(sol, "presses", press)[1]
    assert (held["near"], held["far"], held["left"]) == ("0–200 700–900", "whole", "")
    assert "4 near, far" in words(sol.get("/office/shop/presses/"))


def test_a_clamp_beyond_any_press(sol: Client, floor: Floor) -> None:
    response = make(sol, "presses", name="Press 3", stations="4", left="0–9000")
    assert errors(response) == {"left": ["“9000”: Give where the clamp ends, in mm."]}


def test_a_meter_says_when_it_was_zeroed(sol: Client, floor: Floor) -> None:
    floor.tell("meter_zeroed", {"zero_n_per_cm": 0.5, "note": ""},
               subject={"kind": "meter", "id": str(floor.meter.pk)}, hours=24)  # fmt: skip
    make(sol, "meters", name="Meter 3", resolution_n_per_cm="0,5")
    assert Meter.objects.get(name="Meter 3").resolution_n_per_cm == 0.5
    said = words(sol.get("/office/shop/meters/"))
    assert "Meter 2 ½ " in said
    assert "Meter 3 ½ never zeroed; check it 2 meters" in said


def test_an_operator(sol: Client, floor: Floor) -> None:
    make(sol, "operators", name="Besnik", note="Thursdays")
    assert Operator.objects.get(name="Besnik").note == "Thursdays"


def test_tables_search_sort_and_keep_retired_ones_apart(sol: Client, floor: Floor) -> None:
    make(sol, "meshes", **MESH)
    page = sol.get("/office/shop/meshes/", {"sort": "-cm"})
    assert [thing.count_per_cm for thing, _ in page.context["rows"]] == [120, 77]
    found = sol.get("/office/shop/meshes/", {"search": "120-"})
    assert [thing.name for thing, _ in found.context["rows"]] == ["120-34 polyester"]
    mesh = Mesh.objects.get(name="120-34 polyester")
    response = sol.post(f"/office/retire/mesh/{mesh.pk}/", {"version": "1"})
    assert response["Location"] == "/office/shop/meshes/"
    assert "120-34 polyester is retired." in words(sol.get("/office/shop/meshes/"))
    assert "120-34" not in words(sol.get("/office/shop/meshes/"))
    assert "120-34" in words(sol.get("/office/shop/meshes/", {"retired": "yes"}))


@pytest.mark.parametrize("version", ["²", "9" * 5000, "٣", "1e400", ""])
def test_a_version_that_is_none_retires_nothing(version: str, sol: Client, floor: Floor) -> None:
    sol.post(f"/office/retire/mesh/{floor.mesh.pk}/", {"version": version})
    said = words(sol.get("/office/shop/meshes/"))
    assert "77-48 polyester was changed meanwhile. Look at it, then try again." in said
    assert not Mesh.objects.get().retired


def test_a_search_for_anything_is_answered(sol: Client, floor: Floor) -> None:
    for search in ("\0", "%" * 60_000, "77-48\0"):
        assert sol.get("/office/shop/meshes/", {"search": search}).status_code == 200
    found = sol.get("/office/jobs/", {"search": "dial " * 2000})
    assert "Dial plates" in words(found)


def test_someone_else_saved_it_meanwhile(sol: Client, mara: Client, floor: Floor) -> None:
    address, mine = open_form(sol, "meshes", floor.mesh)
    _, theirs = open_form(mara, "meshes", floor.mesh)
    mara.post(address, theirs | {"target_n_per_cm": "23", "material": "other"})
    response = sol.post(address, mine | {"target_n_per_cm": "22.5", "note": "mine"})
    said = words(response)
    assert "Someone changed this while you were typing" in said
    assert "Saved now: 23" in said
    assert "Saved now: other" in said
    held = fields(response)
    assert (held["target_n_per_cm"], held["note"], held["version"]) == ("22.5", "mine", "2")
    assert Mesh.objects.get().target_n_per_cm == 23
    assert sol.post(address, held).status_code == 302
    mesh = Mesh.objects.get()
    assert (mesh.target_n_per_cm, mesh.note, mesh.version) == (22.5, "mine", 3)


@pytest.mark.parametrize("version", ["", "new", "-1", "7"])
def test_a_form_that_does_not_know_what_it_saw_is_a_conflict(
    version: str, sol: Client, floor: Floor
) -> None:
    address, mine = open_form(sol, "meshes", floor.mesh)
    response = sol.post(address, mine | {"version": version, "name": "other"})
    if version == "":
        # nothing told: the form stands on what is there now
        assert response.status_code == 302
    else:
        assert response.context["form"].conflict


def test_no_such_shelf(sol: Client, floor: Floor) -> None:
    assert sol.get("/office/shop/rollers/").status_code == 404
    assert sol.post(f"/office/retire/shop/{floor.shop.pk}/").status_code == 404
    assert sol.get(f"/office/retire/mesh/{floor.mesh.pk}/").status_code == 405


def test_the_shop_itself(mara: Client, floor: Floor) -> None:
    held = fields(mara.get("/office/shop/"))
    assert (held["name"], held["prefix"], held["round_limit"]) == ("Quay Street Print", "F", "2")
    mara.post("/office/shop/", held | {"round_limit": "1½", "prefix": "qs"})
    floor.shop.refresh_from_db()
    assert (floor.shop.round_limit_48ths, floor.shop.prefix) == (72, "QS")
    bad = mara.post("/office/shop/", fields(mara.get("/office/shop/")) | {"round_limit": "9"})
    remedy = "Give the most a bolt turns per round: up to 3 turns."
    assert errors(bad) == {"round_limit": [f"“9”: {remedy}"]}
    bad = mara.post("/office/shop/", fields(mara.get("/office/shop/")) | {"round_limit": "-3"})
    assert errors(bad) == {"round_limit": [f"“-3”: {remedy}"]}


def test_the_first_shop(mara: Client) -> None:
    page = mara.get("/office/shop/")
    assert "Name the shop first" in words(page)
    assert mara.post("/office/shop/", fields(page) | {"name": "Bay Signs"}).status_code == 302
    things.create("operator", {"name": "Ines"}, by="tests")
    assert "Name the shop first" not in words(mara.get("/office/shop/"))
