"""The page of one frame, and of one of its screens."""

import json
from html import unescape
from re import search

import pytest
from django.http import HttpResponse
from django.test import Client
from django.utils import timezone

from frames.models import Frame
from tests.pages.floor import MESH, Floor
from tests.pages.reading import words

pytestmark = pytest.mark.django_db


def page(client: Client, frame: Frame, **asked: str) -> HttpResponse:
    return client.get(f"/office/frames/{frame.pk}/", asked)


def drawing(response: HttpResponse) -> dict:
    found = search(r'data-drawing="([^"]*)"', response.content.decode())
    assert found
    return json.loads(unescape(found[1]))


def test_a_new_frame(mara: Client, floor: Floor) -> None:
    said = words(page(mara, floor.frame(417, rods="6 mm", note="Bent at C")))
    assert "F0417-N" in said
    assert "no mesh" in said
    assert "Inside, A × B 1000 × 800 mm" in said
    assert "Profile plain U Lock twin rod Rods 6 mm" in said
    assert "Bolts A 3, B 2, C 3, D 2, pitch 1.5 mm, hex head" in said
    assert "Note Bent at C" in said
    assert "Nothing in the log yet." in said


def test_how_it_stands(mara: Client, floor: Floor) -> None:
    frame = floor.frame(1)
    floor.fit(frame)
    floor.check(frame, 22, 21.5, 22.5, hours=2)
    floor.on_press(frame)
    floor.expose(frame)
    floor.tweak(frame)
    response = page(mara, frame)
    said = words(response)
    assert "holding All spots read within 22 ± 1½ N/cm." in said
    assert "Place Press 2, station 4, since" in said
    assert "Target 22 ± 1½ N/cm Stencil exposed, job 2291, blue" in said
    assert "Last check, bare, 2 h ago: 21½ to 22½ N/cm, spread 1." in said
    assert "Turns in for register: A1, A2 +1 flat." in said
    shown = drawing(response)
    assert shown["view"] == {"face": "squeegee", "near": "A"}
    assert shown["turns"] == {"A1": 8, "A2": 8}
    assert [spot["along_a_n_per_cm"] for spot in shown["spots"]] == [22, 21.5, 22.5]
    assert (shown["target"], shown["tolerance"]) == (22, 1.5)


def test_bolts_that_do_not_turn_are_drawn(mara: Client, floor: Floor) -> None:
    frame = floor.frame(1)
    floor.tell("bolt_state", {"bolt": "B2", "state": "seized"}, frame)
    assert drawing(page(mara, frame))["states"] == {"B2": "seized"}


def test_the_plot_and_its_table_say_the_same(mara: Client, floor: Floor) -> None:
    frame = floor.frame(1)
    floor.fit(frame)
    first = floor.check(frame, 20, 24, hours=50)
    floor.tell("target_set", {"target_n_per_cm": 20, "tolerance_n_per_cm": 2}, frame, hours=40)
    floor.check(frame, 21, hours=30)
    void_me = floor.check(frame, 9, hours=20)
    floor.tell("void", {"voids": void_me["id"], "reason": "another frame"}, frame)
    response = page(mara, frame)
    rows = [
        (r.low, r.mean, r.high, r.spread, r.floor, r.ceiling) for r in response.context["tension"]
    ]
    assert rows == [(20, 22, 24, 4, 20.5, 23.5), (21, 21, 21, 0, 18, 22)]
    html = response.content.decode()
    assert 'data-chart="tension-table"' in html
    at = int(timezone.datetime.fromisoformat(first["occurred_at"]).timestamp())
    assert f'data-value="{at}"' in html


def test_older_screens_have_pages_of_their_own(mara: Client, floor: Floor) -> None:
    frame = floor.frame(1)
    first = floor.fit(frame, hours=200)
    floor.check(frame, 22, hours=190)
    floor.tell("mesh_removed", {"note": "worn"}, frame, hours=120)
    floor.fit(frame, hours=100)
    response = page(mara, frame)
    [older] = response.context["older"]
    assert (str(older["id"]), older["mesh"], older["how"]) == (
        first["id"],
        MESH["name"],
        "removed",
    )
    said = words(mara.get(f"/office/frames/screens/{first['id']}/"))
    assert "Fitted to F0001-" in said
    assert ": removed." in said
    assert "Checked bare: 22 N/cm (1 spot, Meter 2)" in said
    assert said.count("Mesh fitted: 77-48 polyester") == 1


def test_a_burst_frame_says_what_to_do(mara: Client, floor: Floor) -> None:
    frame = floor.screen(floor.frame(1), 22)
    floor.tell("burst", {"where": "edge"}, frame)
    assert "burst The mesh burst; take it off." in words(page(mara, frame))


def test_a_screen_whose_mesh_is_not_in_the_book(mara: Client, floor: Floor) -> None:
    frame = floor.frame(1)
    payload = {"mesh": "3f0c1f6e-0000-4000-8000-000000000000", "warp": "x"}
    floor.tell(
        "mesh_fitted", payload | {"target_n_per_cm": 20, "tolerance_n_per_cm": 1}, frame, hours=9
    )
    said = words(page(mara, frame))
    assert "Mesh a mesh that is not known here" in said


def test_a_frame_that_is_not_there(mara: Client, floor: Floor) -> None:
    assert mara.get("/office/frames/3f0c1f6e-0000-4000-8000-000000000000/").status_code == 404
