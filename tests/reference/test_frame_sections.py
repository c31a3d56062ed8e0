"""Sections, bow and growth of frame sides.

Source: parallel-axis theorem and standard beam formulas, recomputed; thermal growth from
http://www.screenprintingabc.com/49-metal-screen-printing-frames.
"""

import pytest

from frames.mechanics.frame_side import Plate, Section, growth_mm, plain_u, section, side_load


def box(depth: float, height: float, wall: float) -> list[Plate]:
    """A closed box: two uprights, two lids."""
    inner = depth - 2 * wall
    uprights = [Plate(wall, height), Plate(wall, height, depth - wall)]
    return [*uprights, *[Plate(inner, wall, wall)] * 2]


@pytest.mark.parametrize(
    ("depth", "wall", "inertia"),
    [(40, 2.5, 88281.2), (40, 3, 101972.0), (50, 3, 175312.0), (60, 3, 273852.0)],
)
def test_box(depth: float, wall: float, inertia: float) -> None:
    assert section(box(depth, 40, wall)).inertia_mm4 == pytest.approx(inertia, abs=0.1)


@pytest.mark.parametrize(
    ("web", "flange", "wall", "area", "centroid", "inertia"),
    [
        (40, 50, 5, 650, 19.8077, 162892.6),
        (38, 64, 6, 924, 27.1039, 371658.0),
        (40, 60, 4, 608, 24.1053, 223395.9),
    ],
)
def test_plain_u(
    web: float, flange: float, wall: float, area: float, centroid: float, inertia: float
) -> None:
    made = section(plain_u(flange, web, wall))
    assert made.area_mm2 == pytest.approx(area)
    assert made.centroid_mm == pytest.approx(centroid, abs=1e-3)
    assert made.inertia_mm4 == pytest.approx(inertia, abs=0.5)


@pytest.mark.parametrize(
    ("web", "flange", "wall", "inertia"),
    [(40, 50, 5, 165416.7), (38, 64, 6, 207700.0), (40, 60, 4, 167082.7)],
)
def test_plain_u_bent_out_of_the_screen(
    web: float, flange: float, wall: float, inertia: float
) -> None:
    """The same plates laid over: flanges below and above, the web between them."""
    flanges = [Plate(wall, flange), Plate(wall, flange, web - wall)]
    over = section([*flanges, Plate(web - 2 * wall, wall, wall)])
    assert over.inertia_mm4 == pytest.approx(inertia, abs=0.5)


def test_bow_of_a_one_metre_side() -> None:
    load = side_load(Section(375, 20, 88281.25, 20), 1000, 25, 2.0)
    assert load.bow_pinned_mm == pytest.approx(5.3439, abs=1e-3)
    assert load.bow_built_in_mm == pytest.approx(1.0688, abs=1e-3)
    assert load.stress_mpa == pytest.approx(312500 * 20 / 88281.25)
    assert not load.within


@pytest.mark.parametrize(("metal", "growth"), [("aluminium", 0.48), ("steel", 0.24)])
def test_growth_of_a_metre_by_20_degrees(metal: str, growth: float) -> None:
    assert growth_mm(1000, 20, metal) == pytest.approx(growth, abs=0.005)
