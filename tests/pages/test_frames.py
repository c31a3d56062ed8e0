"""The table of frames: what it shows, filters, search, order and pages."""

import pytest
from django.test import Client

from frames import things
from frames.models import Frame
from shopfloor.office.listing import PER_PAGE
from tests.pages.floor import Floor
from tests.pages.reading import words

pytestmark = pytest.mark.django_db
FRAMES = "/office/frames/"


@pytest.fixture
def rack(floor: Floor) -> Floor:
    """1 holds on the press, 2 is low in the rack and exposed, 3 is out for repair without mesh."""
    floor.on_press(floor.screen(floor.frame(1, second_name="K1"), 22))
    floor.expose(floor.screen(floor.frame(2), 19))
    floor.tell("moved", {"to": "rack", "rack": "B4"}, floor_frame(2))
    floor.frame(3, inside_a_mm=1200)
    floor.tell("moved", {"to": "repair"}, floor_frame(3))
    return floor


def floor_frame(number: int) -> Frame:
    return Frame.objects.get(number=number)


def shown(client: Client, **asked: str) -> list[int]:
    page = client.get(FRAMES, asked).context["listing"].page
    return [stand.frame.number for stand in page]


def test_a_row_says_how_the_frame_stands(mara: Client, rack: Floor) -> None:
    said = words(mara.get(FRAMES))
    assert "F0001-" in said
    assert "K1 holding 77-48 polyester 1000 × 800 mm bare Press 2, station 4 22.0 2 h ago" in said
    assert "low 77-48 polyester 1000 × 800 mm exposed rack B4 19.0 2 h ago" in said
    assert "no mesh 1200 × 800 mm out for repair" in said


def test_a_spread_takes_two_spots(mara: Client, floor: Floor) -> None:
    floor.screen(floor.frame(1), 22)
    floor.screen(floor.frame(2), 22, 23)
    floor.screen(floor.frame(3), 22, 24)
    assert "22.0 2 h ago" in words(mara.get(FRAMES))
    assert "22.5 1.0 2 h ago" in words(mara.get(FRAMES))
    assert shown(mara, sort="spread") == [2, 3, 1]
    assert "22 to 22 N/cm at one spot." in words(mara.get(f"{FRAMES}{floor_frame(1).pk}/"))


def test_what_is_lost_or_scrapped_is_not_counted_as_in_use(mara: Client, rack: Floor) -> None:
    assert "3 frames" in words(mara.get(FRAMES))
    assert "lost or scrapped" not in words(mara.get(FRAMES))
    rack.tell("moved", {"to": "lost"}, floor_frame(3), hours=0.2)
    rack.tell("moved", {"to": "scrapped"}, floor_frame(2), hours=0.2)
    assert "1 frame, 2 lost or scrapped" in words(mara.get(FRAMES))
    assert shown(mara) == [1, 2, 3]
    assert "0 frames, 1 lost or scrapped" in words(mara.get(FRAMES, {"place": "lost"}))


@pytest.mark.parametrize(
    ("asked", "numbers"),
    [
        ({}, [1, 2, 3]),
        ({"condition": "low"}, [2]),
        ({"condition": "none"}, [3]),
        ({"stencil": "exposed"}, [2]),
        ({"place": "repair"}, [3]),
        ({"place": "press"}, [1]),
        ({"search": "k1"}, [1]),
        ({"search": "rack b4"}, [2]),
        ({"search": "1200"}, [3]),
        ({"search": "f0002"}, [2]),
        ({"condition": "low", "place": "press"}, []),
        ({"sort": "-code"}, [3, 2, 1]),
        ({"sort": "mean"}, [2, 1, 3]),
        ({"sort": "-mean"}, [1, 2, 3]),
        ({"sort": "condition"}, [2, 1, 3]),
        ({"sort": "no such column", "page": "no such page"}, [1, 2, 3]),
    ],
)
def test_filters_search_and_order(
    asked: dict, numbers: list[int], mara: Client, rack: Floor
) -> None:
    assert shown(mara, **asked) == numbers


def test_filters_by_press_and_mesh(mara: Client, rack: Floor) -> None:
    assert shown(mara, press=str(rack.press.pk)) == [1]
    assert shown(mara, mesh=str(rack.mesh.pk)) == [1, 2]


def test_retired_frames_stand_apart(mara: Client, rack: Floor) -> None:
    frame = floor_frame(3)
    things.retire("frame", frame.pk, frame.version, "desk:mara")
    assert shown(mara) == [1, 2]
    assert shown(mara, retired="yes") == [3]


def test_a_long_table_has_pages(mara: Client, floor: Floor) -> None:
    for number in range(1, PER_PAGE + 3):
        floor.frame(number)
    first, second = mara.get(FRAMES), mara.get(FRAMES, {"page": "2", "sort": "code"})
    assert f"{PER_PAGE + 2} frames, page 1 of 2" in words(first)
    assert [s.frame.number for s in second.context["listing"].page] == [PER_PAGE + 1, PER_PAGE + 2]
    assert 'href="?page=1&amp;sort=code"' in second.content.decode()


def test_nothing_fits(mara: Client, rack: Floor) -> None:
    assert "No frame fits. Show all frames" in words(mara.get(FRAMES, {"search": "zzz"}))


def test_a_heading_says_how_the_table_is_sorted(mara: Client, rack: Floor) -> None:
    page = mara.get(FRAMES, {"sort": "-mean", "condition": "low"}).content.decode()
    assert 'aria-sort="descending"><a href="?sort=mean&amp;condition=low">' in page


def test_inches_where_the_shop_wants_them(mara: Client, floor: Floor) -> None:
    things.change("shop", floor.shop.pk, {"length_unit": "in"}, 1, "desk:mara")
    floor.frame(1, inside_a_mm=1003.3)
    assert "39½ × 31½ in" in words(mara.get(FRAMES))
