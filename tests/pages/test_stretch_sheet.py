"""The sheet for the bench: figures of one frame and mesh, and room for the pen."""

import pytest
from django.test import Client

from frames import fitting, sheet_sums, things
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
    spots = "in the middle by A and D by A and B by C and B by C and D"
    assert f"After {spots}" in said
    assert "The frame maker’s instructions and local codes go first." in said


def test_the_mesh_chooses_the_rods(sol: Client, floor: Floor, frame: Frame) -> None:
    mesh, shop = floor.mesh.body(), Shop.objects.get()
    row = {"material": mesh["material"], "from_per_cm": 1.0, "to_per_cm": 300.0, "rods": "slim rod"}
    things.change("shop", shop.pk, {"stretching": {"rods": [row]}}, shop.version, "desk:sol")
    assert "slim rod" not in sheet(sol, frame)
    assert "slim rod" in sheet(sol, frame, f"?mesh={mesh['name']}")


def test_an_unknown_mesh_is_no_mesh(sol: Client, floor: Floor, frame: Frame) -> None:
    assert "Target" not in sheet(sol, frame, "?mesh=none-such")


def test_sums_of_the_screen_room_stand_on_the_sheet(
    sol: Client, floor: Floor, frame: Frame
) -> None:
    """1 m at 25 N/cm is 2500 N. A 40 x 40 x 2.5 mm box with I 88 281 mm4 bows 5.34 mm there (beam
    formula, worked out apart): 1 mm takes 47.2 cm4. 8 bolts: C1 carries 0 to 350 mm of 1000."""
    body, mesh = frame.body(), floor.mesh.body()
    told = {one.name: one.value for one in sheet_sums.sums(body, mesh, 25.0)}
    assert told["Load of the mesh"] == "2500 N on A and C, 2000 N on B and D"
    assert told["Side that bows 1 mm"] == "I = 47.2 cm⁴"
    assert told["Most loaded bolt"] == "1000 N"
    said = sheet(sol, frame, f"?mesh={floor.mesh.name}")
    assert "Which target Between 22 and 30 N/cm; the mesh card limits it." in said
    assert "Prints longer by, mm" in said
    assert "Sums" not in sheet(sol, frame)


def test_a_wider_gap_prints_longer_by_its_square(floor: Floor, frame: Frame) -> None:
    """Print less stencil grows with the square of the gap (geometry, no friction)."""
    rows = {row.gap_mm: row for row in sheet_sums.over_gaps(frame.body(), floor.mesh.body())}
    assert rows[6.0].growth_mm == pytest.approx(4 * rows[3.0].growth_mm, rel=0.01)
    assert 0.04 < rows[3.0].growth_mm < 0.08
    assert rows[3.0].low_n_per_cm < rows[3.0].high_n_per_cm
