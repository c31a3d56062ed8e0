"""The sheet for the bench: figures of one frame and mesh, and room for the pen."""

import pytest
from django.test import Client

from frames import fitting, things
from frames.models import Frame, Shop
from tests.pages.floor import Floor
from tests.pages.reading import words

pytestmark = pytest.mark.django_db


@pytest.fixture
def frame(floor: Floor) -> Frame:
    return floor.frame(417)


def sheet(client: Client, frame: Frame, query: str = "") -> str:
    return words(client.get(f"/office/frames/{frame.pk}/fitting/{query}"))


def test_it_holds_what_the_bench_needs(sol: Client, floor: Floor, frame: Frame) -> None:
    said = sheet(sol, frame, f"?mesh={floor.mesh.name}")
    plan = fitting.fitting(frame.body(), floor.mesh.body(), Shop.objects.get().body())
    assert f"{plan.piece[0]} mm along A, {plan.piece[1]} mm along B" in said
    assert "Set the bars" in said
    assert "Round 1" in said
    assert "Round 2" in said
    assert "The frame maker’s instructions and local codes go first." in said


def test_the_mesh_chooses_the_rods(sol: Client, floor: Floor, frame: Frame) -> None:
    mesh, shop = floor.mesh.body(), Shop.objects.get()
    row = {"material": mesh["material"], "from_per_cm": 1.0, "to_per_cm": 300.0, "rods": "slim rod"}
    things.change("shop", shop.pk, {"stretching": {"rods": [row]}}, shop.version, "desk:sol")
    assert "slim rod" not in sheet(sol, frame)
    assert "slim rod" in sheet(sol, frame, f"?mesh={mesh['name']}")


def test_an_unknown_mesh_is_no_mesh(sol: Client, floor: Floor, frame: Frame) -> None:
    assert "Target" not in sheet(sol, frame, "?mesh=none-such")
