"""The plant's parts against closed forms: thread law, bar, net energy, meter."""

import numpy as np
import pytest
from scipy.optimize import approx_fprime

from tests.mechanics.plant import LAYOUTS, Plant
from tests.mechanics.plant.bars import bending
from tests.mechanics.plant.cloth import Cloth, uneven
from tests.mechanics.plant.grid import build
from tests.mechanics.plant.meter import NOISE_N_PER_CM, STEP_N_PER_CM, Patches, shown

CLOTH = Cloth(100.0, 80.0, 10.0, 0.5, 0.3, 0.006)


def test_a_thread_stiffens_as_its_crimp_is_pulled_out() -> None:
    strain = np.array([0.002, 0.006, 0.02, 0.05])
    _, slope = CLOTH.pull(strain)
    assert (np.diff(slope) > 0).all()
    assert slope[0] < 0.8
    assert slope[-1] == pytest.approx(1.0, abs=0.02)


def test_a_slack_thread_hardly_pushes() -> None:
    pull, _ = CLOTH.pull(np.array([-0.01]))
    assert -0.0002 < pull[0] <= 0.0


def test_stored_energy_grows_by_the_pull() -> None:
    for strain in (-0.003, 0.0001, 0.004, 0.02):
        near = np.array([strain - 1e-6, strain + 1e-6])
        low, high = CLOTH.stored(near)
        assert (high - low) / 2e-6 == pytest.approx(float(CLOTH.pull(near.mean())[0]), abs=3e-6)


def test_a_bar_bends_as_a_beam_on_two_supports() -> None:
    """Mid load P on span L: deflection P L³ / 48 EI (handbook formula)."""
    at = np.linspace(0, 1000, 81)
    stiffness = bending(at, rigidity=5e8)
    load = np.zeros(81)
    load[40] = 100.0
    free = np.arange(1, 80)
    sag = np.linalg.solve(stiffness[np.ix_(free, free)], load[free])
    assert sag[39] == pytest.approx(100 * 1000**3 / 48 / 5e8, rel=2e-3)


def test_a_bar_moves_and_tilts_freely_on_uneven_spacing() -> None:
    at = np.array([0.0, 12, 50, 90, 150, 155, 240])
    stiffness = bending(at, rigidity=3e8)
    assert stiffness @ np.ones(7) == pytest.approx(np.zeros(7), abs=1e-6)
    assert stiffness @ at == pytest.approx(np.zeros(7), abs=1e-3)
    assert np.linalg.eigvalsh(stiffness)[2] > 0


def test_net_forces_are_the_slope_of_its_energy() -> None:
    plant = Plant(5, LAYOUTS[0], poisson=0.2, shear_share=0.01)
    frame, draws, flat = plant._frame, plant._draws, plant._flat
    rng = np.random.default_rng(0)
    moved = flat + rng.normal(0, 0.02, flat.size)
    forces, _ = frame.left_over(moved, draws)
    for _ in range(3):
        way = rng.standard_normal(flat.size)
        slope = approx_fprime(0.0, lambda s, w=way: frame.energy(moved + s * w, draws), 1e-6)
        assert slope[0] == pytest.approx(forces @ way, rel=2e-4)


def test_net_stiffness_is_the_slope_of_its_forces() -> None:
    """Taut threads, no turn of threads: there the stiffness used is the exact one."""
    plant = Plant(5, LAYOUTS[0], poisson=0.0, unevenness=0.0)
    net, shaped, flat = plant._net, plant._frame.shaped, plant._flat
    state = net.state(shaped(flat))
    way = np.random.default_rng(1).standard_normal(flat.size)
    there = flat + 1e-7 * way
    change = net.forces(shaped(there), net.state(shaped(there))) - net.forces(shaped(flat), state)
    product = times(net.stiffness(state), way)
    assert change / 1e-7 == pytest.approx(product, abs=abs(product).max() * 1e-4)


def times(band: np.ndarray, way: np.ndarray) -> np.ndarray:
    """A symmetric matrix, kept as its lower diagonals, times a vector."""
    product = band[0] * way
    for down in range(1, len(band)):
        off = band[down, : way.size - down]
        product[down:] += off * way[:-down]
        product[:-down] += off * way[down:]
    return product


def test_every_bolt_and_lock_end_is_on_a_line() -> None:
    for layout in LAYOUTS:
        grid = build(layout, 33.0)
        for bolt in layout.names:
            i, j = grid.node_of(layout, bolt)
            assert (grid.x[i], grid.y[j]) == pytest.approx(layout.place(bolt))
        for side in "ABCD":
            at, _, _ = grid.held(side)
            assert at[0] == pytest.approx(33.0)
            assert at[-1] == pytest.approx(layout.side_length(side) - 33.0)


def test_patches_are_exact_on_straight_fields() -> None:
    grid = build(LAYOUTS[1], 30.0)
    points = np.array([[150.0, 200.0], [300.0, 400.0]])
    middle_x, middle_y = (grid.x[1:] + grid.x[:-1]) / 2, (grid.y[1:] + grid.y[:-1]) / 2
    field_x = 3 + 0.01 * middle_x[:, None] - 0.02 * grid.y[None, :]
    field_y = 1 - 0.03 * grid.x[:, None] + 0.01 * middle_y[None, :]
    felt = Patches(grid, points).under(field_x, field_y)
    x, y = points.T
    assert felt[:, 0] == pytest.approx(3 + 0.01 * x - 0.02 * y)
    assert felt[:, 1] == pytest.approx(1 - 0.03 * x + 0.01 * y)


def test_the_meter_shows_half_newtons_with_its_noise() -> None:
    rng = np.random.default_rng(3)
    seen = shown(np.full(20_000, 17.3), rng)
    assert (seen % STEP_N_PER_CM == 0).all()
    assert seen.mean() == pytest.approx(17.3, abs=0.02)
    # rounding to a step s adds a variance of s²/12
    assert seen.std() == pytest.approx(np.hypot(NOISE_N_PER_CM, STEP_N_PER_CM / 12**0.5), rel=0.03)


def test_locking_in_is_uneven_across_the_threads_and_even_along_them() -> None:
    rng = np.random.default_rng(4)
    along, across = np.linspace(0, 800, 30), np.linspace(0, 1000, 40)
    for _ in range(10):
        field = uneven(rng, along, across, 0.15)
        assert field.mean() == pytest.approx(0.0, abs=1e-12)
        threads = field.mean(axis=0)
        assert 0.05 < threads.std() < 0.5
        # no handful of cosines explains it: what five leave over is more than meter noise
        waves = np.cos(np.pi * np.outer(across / across[-1], np.arange(6)))
        rest = threads - waves @ np.linalg.lstsq(waves, threads, rcond=None)[0]
        assert rest.std() > 0.01
