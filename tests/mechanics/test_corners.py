"""Corners that climbed: which end bolts are eased, and that it helps on the independent plant."""

import numpy as np
import pytest

from frames.mechanics import (
    Aim,
    Bolt,
    Easing,
    Layout,
    Limits,
    Mesh,
    Reading,
    State,
    Strip,
    after_readings,
    begin,
    ease_corners,
)
from frames.mechanics.corners import CORNERS
from tests.mechanics.plant import LAYOUTS, Plant

FRAME = Layout.evenly(800, 1000, 6, 7)
PLACES = [(u, v) for v in (0.12, 0.5, 0.88) for u in (0.12, 0.5, 0.88)]
AIM, MIDDLE = Aim(20, 1.5), [(0.5, 0.5)]


def screen(readings: list[Reading], frame: Layout = FRAME) -> State:
    return after_readings(begin(Strip(frame, Mesh(1090, 1090)), Bolt(1.411, 6)), readings)


def tight_near_a(more: float) -> list[Reading]:
    """Threads along side A, close to it, carry so much more than the rest."""
    return [Reading(u, v, 16 + more * (v < 0.2), 16.0) for u, v in PLACES]


def eased(readings: list[Reading], limits: Limits | None = None) -> Easing:
    return ease_corners(screen(readings), AIM, limits or Limits())


def test_the_end_bolts_that_pull_the_tight_threads_are_eased() -> None:
    found = eased(tight_near_a(5))
    assert found.status == "ease"
    assert set(found.turns_48ths) == {"B1", "D7"}
    assert all(turn < 0 and turn % 6 == 0 for turn in found.turns_48ths.values())
    assert {name for name, _, _ in found.tight} == {"D/A", "A/B"}
    assert found.message.startswith("Corner D/A is ")
    assert found.message.endswith(" N/cm above the rest along A. Ease the end bolts shown.")


def test_the_tighter_the_further_within_the_limit_for_loosening() -> None:
    little, much, far = (eased(tight_near_a(more)) for more in (3, 5, 12))
    assert sum(much.turns_48ths.values()) < sum(little.turns_48ths.values()) < 0
    assert min(far.turns_48ths.values()) >= -48


def test_even_mesh_is_left_alone() -> None:
    found = eased(tight_near_a(1))
    assert (found.status, found.turns_48ths) == ("leave", {})


def test_without_readings_it_asks_for_some() -> None:
    found = ease_corners(begin(Strip(FRAME, Mesh(1090, 1090))), AIM, Limits())
    assert found.status == "blocked"
    assert found.message == "Read the middle and the corners first."


@pytest.mark.parametrize("kind", ["hidden", "seized", "broken"])
def test_end_bolts_that_do_not_turn_stay(kind: str) -> None:
    one = eased(tight_near_a(5), Limits(**{kind: {"B1"}}))
    assert "B1" not in one.turns_48ths
    none = eased(tight_near_a(5), Limits(**{kind: set(FRAME.ends)}))
    assert none.status == "blocked"
    assert none.message.endswith("No end bolt can ease it.")


def test_a_corner_that_may_pass_the_cap_is_eased_below_the_tolerance_too() -> None:
    assert eased(tight_near_a(2), Limits(cap_n_per_cm=17.5)).status == "ease"
    assert eased(tight_near_a(2), Limits(cap_n_per_cm=40)).status == "leave"


@pytest.mark.parametrize("seed", range(4))
def test_on_the_plant_tight_corners_come_down(seed: int) -> None:
    """End bolts of sides A and C were overturned; easing is told from nine readings alone."""
    layout = LAYOUTS[seed]
    plant = Plant(seed, layout, start_n_per_cm=16.0, rough=0.0, unevenness=0.05)
    last = len(layout.bolts["A"])
    plant.turn(dict.fromkeys(("A1", f"A{last}", "C1", f"C{last}"), 2.0))
    plant.nip_up()
    sides = {side: tuple(layout.bolts[side]) for side in "ABCD"}
    frame = Layout(layout.inside_a_mm, layout.inside_b_mm, sides)
    readings = [Reading(*at, *read) for at, read in zip(PLACES, plant.read(PLACES), strict=True)]
    found = ease_corners(screen(readings, frame), Aim(20, 0.5), Limits())
    assert found.status == "ease"
    tight = [(CORNERS.index(name), axis) for name, axis, _ in found.tight]
    before, was = climbed(plant, frame, tight), plant.tension_at(MIDDLE)
    plant.turn({bolt: turn / 48 for bolt, turn in found.turns_48ths.items()})
    plant.nip_up()
    assert climbed(plant, frame, tight) < 0.8 * before
    assert np.abs(plant.tension_at(MIDDLE) - was).max() < 2.0


def climbed(plant: Plant, frame: Layout, tight: list[tuple[int, int]]) -> float:
    """True mean of what tight corners carry above the image, N/cm."""
    above = plant.tension_at(frame.grid(2)) - plant.tension_at(frame.grid(9)).mean(axis=0)
    return float(np.mean([above[one] for one in tight]))
