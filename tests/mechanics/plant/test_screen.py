"""The plant as a screen: balance, energy, bolts that only pull, even pulls, finer nets."""

import numpy as np
import pytest

from tests.mechanics.closed_loop import inner
from tests.mechanics.plant import LAYOUTS, Layout, Plant

EVEN = {
    "unevenness": 0.0,
    "set_jitter_mm": 0.0,
    "poisson": 0.0,
    "grip": 0.0,
    "wrench_error": 0.0,
}
CENTRE = [(0.5, 0.5)]
every_layout = pytest.mark.parametrize("layout", LAYOUTS, ids=lambda layout: layout.name)


def all_round(layout: Layout, turns: float) -> dict[str, float]:
    return dict.fromkeys(layout.names, turns)


def rough(layout: Layout, seed: int, most: float = 1.0) -> dict[str, float]:
    rng = np.random.default_rng(seed)
    return {name: rng.uniform(-most / 2, most) for name in layout.names}


@every_layout
def test_it_starts_at_six_and_uneven(layout: Layout) -> None:
    plant = Plant(1, layout)
    tension = plant.tension_at(inner(layout))
    assert tension.mean(axis=0) == pytest.approx([6.0, 6.0], abs=0.7)
    assert np.ptp(tension, axis=0).max() > 0.5
    assert not set(plant.loose()) & {name for name, pull in plant.pulls().items() if pull > 1}


@every_layout
def test_forces_balance_across_the_frame(layout: Layout) -> None:
    """Without grip nothing but bolts holds the mesh: opposite sides pull alike, and as much
    as the mesh carries across the middle."""
    plant = Plant(2, layout, grip=0.0)
    plant.turn(rough(layout, 1))
    pulls = plant.pulls()
    sums = {side: sum(f for name, f in pulls.items() if name[0] == side) for side in "ABCD"}
    assert sums["A"] == pytest.approx(sums["C"], rel=1e-4)
    assert sums["B"] == pytest.approx(sums["D"], rel=1e-4)
    x, y = plant._net.tension(plant._frame.shaped(plant._flat))
    cut_x = (x * plant._net.wy).sum(axis=1)
    cut_y = (y * plant._net.wx[:, None]).sum(axis=0)
    assert cut_x[len(cut_x) // 2] == pytest.approx(sums["B"], rel=0.02)
    assert cut_y[len(cut_y) // 2] == pytest.approx(sums["A"], rel=0.02)


def test_nothing_is_left_over_at_any_node() -> None:
    plant = Plant(3, LAYOUTS[1])
    for seed in range(5):
        plant.turn(rough(LAYOUTS[1], seed, 2.0))
        forces, _ = plant._frame.left_over(plant._flat, plant._draws)
        assert abs(forces).max() < 1e-3


def test_work_of_the_bolts_is_stored() -> None:
    """Small steps: the sum of force times draw is the gain of stored energy."""
    layout = LAYOUTS[0]
    plant = Plant(4, layout, wrench_error=0.0)
    energy = plant._frame.energy(plant._flat, plant._draws)
    work, step = 0.0, all_round(layout, 0.05)
    for _ in range(20):
        before = sum(plant.pulls().values())
        plant.turn(step)
        after = sum(plant.pulls().values())
        work += (before + after) / 2 * 0.05 * layout.pitch_mm
    gain = plant._frame.energy(plant._flat, plant._draws) - energy
    assert gain == pytest.approx(work, rel=1e-3)


@every_layout
def test_bolts_pull_or_hang_loose_and_never_push(layout: Layout) -> None:
    plant = Plant(6, layout)
    for seed in range(4):
        plant.turn(rough(layout, seed))
        out = plant.stand_out()
        draws = dict(zip(layout.names, plant._draws, strict=True))
        for name, pull in plant.pulls().items():
            assert pull >= 0
            assert (pull > 0) == (out[name] < draws[name])
        for name in plant.loose():
            assert out[name] >= draws[name] - 1e-4


def test_a_bolt_let_far_out_goes_loose_and_its_neighbours_take_the_load() -> None:
    plant = Plant(7, LAYOUTS[2])
    plant.turn(all_round(LAYOUTS[2], 1.0))
    before = plant.pulls()
    bolt = max((name for name in before if name[1] in "345"), key=before.get)
    near = [f"{bolt[0]}{int(bolt[1]) + step}" for step in (-1, 1)]
    plant.turn({bolt: -4.0})
    assert bolt in plant.loose()
    assert sum(plant.pulls()[name] for name in near) > sum(before[name] for name in near) + 10


def test_nipping_up_bears_without_moving_anything() -> None:
    layout = LAYOUTS[2]
    plant = Plant(8, layout)
    plant.turn(rough(layout, 8))
    tension, loose = plant.tension_at(inner(layout)), plant.loose()
    taken = plant.nip_up()
    assert loose
    assert set(taken) <= set(loose)
    assert plant.tension_at(inner(layout)) == pytest.approx(tension)
    for name in taken:
        twin = plant.copy(wrench_error=0.0)
        assert twin.pulls()[name] < 0.5
        twin.turn({name: 0.05})
        assert twin.pulls()[name] > 5


@every_layout
def test_an_even_pull_is_an_even_stretch(layout: Layout) -> None:
    """Straight threads, locks to the corners, stiff bars: tension rises by EA · draw / span."""
    plant = Plant(9, layout, lock_short_mm=0.0, rigidity_share=1e3, crimp_share=0.0, **EVEN)
    before = plant.tension_at(inner(layout))
    out = plant.stand_out()
    plant.turn(all_round(layout, 1.0))
    moved = {name: plant.stand_out()[name] - out[name] for name in layout.names}
    rise = plant.tension_at(inner(layout)) - before
    draw_x = np.mean([m for n, m in moved.items() if n[0] in "BD"])
    draw_y = np.mean([m for n, m in moved.items() if n[0] in "AC"])
    expected = 10 * np.array(
        [
            plant.traits.ex * 2 * draw_x / layout.inside_a_mm,
            plant.traits.ey * 2 * draw_y / layout.inside_b_mm,
        ]
    )
    # slack threads keep a hundredth of their stiffness, also under taut ones
    assert rise == pytest.approx(np.tile(expected * 1.01, (len(rise), 1)), rel=2e-3)
    assert draw_x == pytest.approx(layout.pitch_mm, rel=0.03)


def test_marks_move_with_an_even_stretch() -> None:
    layout = LAYOUTS[2]
    plant = Plant(10, layout, lock_short_mm=0.0, rigidity_share=1e3, crimp_share=0.0, **EVEN)
    marks = [(0.2, 0.3), (0.5, 0.5), (0.9, 0.6)]
    plant.expose()
    assert plant.displacement_of(marks) == pytest.approx(np.zeros((3, 2)), abs=1e-9)
    plant.turn(all_round(layout, 0.5))
    out = 0.5 * layout.pitch_mm
    expected = out * (2 * np.array(marks) - 1)
    assert plant.displacement_of(marks) == pytest.approx(expected, abs=0.02 * out)


def test_only_the_turned_side_moves_the_image_its_way() -> None:
    layout = LAYOUTS[2]
    plant = Plant(11, layout, **EVEN)
    plant.expose()
    plant.turn({name: 0.25 for name in layout.names if name[0] == "B"})
    dx, dy = plant.displacement_of(CENTRE)[0]
    assert dx == pytest.approx(0.125 * layout.pitch_mm, rel=0.1)
    assert dy == pytest.approx(0.0, abs=0.01)


def test_finer_nets_agree() -> None:
    layout = LAYOUTS[1]
    turns = {
        name: 2.0 + (0.5 if name in ("A2", "A3", "C4", "B1") else 0.0) for name in layout.names
    }
    fields = []
    for cells in (1.0, 2.0, 4.0):
        plant = Plant(12, layout, cells=cells, **EVEN | {"poisson": 0.1})
        plant.turn(turns)
        fields.append(plant.tension_at(inner(layout)))
    coarse, fine = (abs(a - fields[2]).max() for a in fields[:2])
    assert coarse < 0.3
    assert fine < 0.6 * coarse


def test_threads_outside_the_locks_pull_less() -> None:
    layout = LAYOUTS[2]
    plant = Plant(13, layout, **EVEN | {"lock_short_mm": 45.0})
    plant.turn(all_round(layout, 2.0))
    outside, middle = plant.tension_at([(0.02, 0.5), (0.5, 0.5)])[:, 1]
    assert outside < 0.9 * middle


def test_crimp_makes_the_same_turn_give_more_later() -> None:
    layout = LAYOUTS[1]
    gains = {}
    for crimp in (0.0, 0.35):
        plant = Plant(14, layout, **EVEN | {"crimp_share": crimp, "crimp_strain": 0.006})
        seen = [plant.tension_at(CENTRE).mean()]
        for _ in range(3):
            plant.turn(all_round(layout, 1.0))
            seen.append(plant.tension_at(CENTRE).mean())
        gains[crimp] = np.diff(seen)
    assert gains[0.0] == pytest.approx(np.full(3, gains[0.0][0]), rel=0.01)
    assert gains[0.35][2] > 1.05 * gains[0.35][0]


def test_pulling_one_way_tightens_the_other_a_little() -> None:
    layout = LAYOUTS[1]
    plant = Plant(15, layout, **EVEN | {"poisson": 0.2})
    before = plant.tension_at(CENTRE)[0]
    plant.turn({name: 1.0 for name in layout.names if name[0] in "BD"})
    along, across = plant.tension_at(CENTRE)[0] - before
    assert along > 1.0
    assert 0.0 < across < 0.4 * along


def test_rest_loses_tension_less_each_time() -> None:
    layout = LAYOUTS[3]
    plant = Plant(16, layout)
    plant.turn(all_round(layout, 2.0))
    seen = [plant.tension_at(inner(layout)).mean()]
    for _ in range(3):
        plant.rest()
        seen.append(plant.tension_at(inner(layout)).mean())
    losses = -np.diff(seen)
    assert (losses > 0).all()
    assert (np.diff(losses) < 0).all()
    assert losses[0] < 0.1 * seen[0]


def test_the_seed_decides_everything() -> None:
    layout = LAYOUTS[0]

    def story(seed: int) -> np.ndarray:
        plant = Plant(seed, layout)
        plant.turn(all_round(layout, 1.0))
        plant.rest()
        return np.array(plant.read(inner(layout)))

    assert (story(5) == story(5)).all()
    assert (story(5) != story(6)).any()


def test_screens_differ_as_widely_as_they_should() -> None:
    traits = [Plant(seed, LAYOUTS[0]).traits for seed in range(40)]
    for way in ("ex", "ey"):
        shares = np.array([getattr(each, way) for each in traits]) / 109.0
        assert shares.min() >= 0.6
        assert shares.max() <= 1.4
        assert np.ptp(shares) > 0.5


def test_the_wrench_is_off_by_a_share_of_each_turn() -> None:
    layout = LAYOUTS[4]
    plant = Plant(17, layout)
    before = plant._draws.copy()
    plant.turn(all_round(layout, 1.0))
    turned = (plant._draws - before) / layout.pitch_mm
    assert turned.mean() == pytest.approx(1.0, abs=0.03)
    assert turned.std() == pytest.approx(0.05, rel=0.4)


def test_a_copy_lives_its_own_life() -> None:
    plant = Plant(18, LAYOUTS[0])
    before = plant.tension_at(CENTRE)
    twin = plant.copy(wrench_error=0.0)
    twin.turn(all_round(LAYOUTS[0], 1.0))
    twin.rest()
    assert (plant.tension_at(CENTRE) == before).all()


def test_bolts_that_cannot_be_turned_are_refused() -> None:
    plant = Plant(19, LAYOUTS[0], fixed=frozenset({"B2"}))
    with pytest.raises(ValueError, match="B2 cannot be turned"):
        plant.turn({"B2": 0.5})
    with pytest.raises(ValueError, match="'E1' is no bolt"):
        plant.turn({"E1": 0.5})
    assert "B2" not in plant.nip_up()
