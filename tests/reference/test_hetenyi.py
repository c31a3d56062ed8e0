"""Beams on an elastic foundation: infinite, semi-infinite and finite, point loads.

Source: Hetenyi, Beams on Elastic Foundation, closed forms from memory, recomputed; the rail is the
example of Boresi and Schmidt, Advanced Mechanics of Materials, from memory, recomputed.
Infinite beams are cut where their deflection is below 1e-9 of the largest. Units N and mm.
"""

import numpy as np
import pytest

from frames.mechanics.beam import BeamAnswer, bend

EI, K, P = 69000 * 20000.0, 20.0, 250.0
FINE = 2e-6  # what cubic elements of 5 mm leave


def long_beam(ei: float, k: float, load: float, step: float, half: int) -> BeamAnswer:
    nodes = np.arange(-half, half + 1) * step
    return bend(nodes, ei, point_loads={half: load}, foundation=k)


@pytest.fixture(scope="module")
def infinite() -> BeamAnswer:
    return long_beam(EI, K, P, 5.0, 600)


@pytest.mark.parametrize(
    ("x", "deflection"),
    [(0, 0.048490063), (50, 0.042898876), (100, 0.031564902), (200, 0.010469125)],
)
def test_infinite_deflection(infinite: BeamAnswer, x: int, deflection: float) -> None:
    assert infinite.deflection[600 + x // 5] == pytest.approx(deflection, rel=FINE)


def test_infinite_moment(infinite: BeamAnswer) -> None:
    assert abs(infinite.moment[600]) == pytest.approx(8055.7743, rel=1e-5)


@pytest.fixture(scope="module")
def end_loaded() -> BeamAnswer:
    return bend(np.arange(601) * 5.0, EI, point_loads={0: P}, foundation=K)


def test_semi_infinite_deflection(end_loaded: BeamAnswer) -> None:
    assert end_loaded.deflection[0] == pytest.approx(0.19396025, rel=FINE)


def test_semi_infinite_largest_moment(end_loaded: BeamAnswer) -> None:
    assert np.abs(end_loaded.moment).max() == pytest.approx(10388.628, rel=2e-4)  # between nodes


@pytest.mark.parametrize(("length", "middle"), [(1000, 0.048535607), (100, 0.12556458)])
def test_finite_free_bar(length: int, middle: float) -> None:
    bar = bend(np.linspace(0, length, 201), EI, point_loads={100: P}, foundation=K)
    assert bar.deflection[100] == pytest.approx(middle, rel=FINE)


@pytest.fixture(scope="module")
def rail() -> BeamAnswer:
    return long_beam(200000 * 36.9e6, 14.0, 170e3, 50.0, 600)


def test_rail_deflection(rail: BeamAnswer) -> None:
    assert rail.deflection[600] == pytest.approx(5.03841, abs=1e-4)


def test_rail_moment(rail: BeamAnswer) -> None:
    assert abs(rail.moment[600]) == pytest.approx(51213680, abs=500)


def test_rail_stress(rail: BeamAnswer) -> None:
    assert abs(rail.moment[600]) * 99.1 / 36.9e6 == pytest.approx(137.5414, abs=0.01)


@pytest.mark.parametrize(
    ("ei", "k", "step", "per_mm"),
    [
        (200000 * 36.9e6, 14.0, 50.0, 0.000829856),
        (EI, K, 5.0, 0.0077584101),
        (69000 * 2880, 0.1, 20.0, 1 / 298.59009),
        (EI, 0.1, 20.0, 1 / 484.71311),
        (EI, 0.2, 20.0, 1 / 407.59352),
    ],
)
def test_characteristic_of_bar_and_foundation(
    ei: float, k: float, step: float, per_mm: float
) -> None:
    """Read off the deflection under a unit load: y0 = P lambda / 2k."""
    assert 2 * k * long_beam(ei, k, 1.0, step, 600).deflection[600] == pytest.approx(
        per_mm, rel=1e-5
    )


# one bolt pulled by a quarter turn, bar on mesh of 1,000 N/cm over 1,000 or 500 mm
@pytest.mark.parametrize(
    ("inertia", "k", "force", "at_100", "at_200"),
    [
        (2880, 0.1, 21.06719, 0.91079737, 0.71896996),
        (20000, 0.1, 34.199203, 0.96299007, 0.87179866),
        (20000, 0.2, 57.515974, 0.94905072, 0.82846316),
    ],
)
def test_one_bolt_pulled(
    inertia: float, k: float, force: float, at_100: float, at_200: float
) -> None:
    bar = long_beam(69000 * inertia, k, 1.0, 20.0, 600)
    down = bar.deflection / bar.deflection[600]
    assert 25.4 / 18 / 4 / bar.deflection[600] == pytest.approx(force, rel=1e-5)
    assert down[605] == pytest.approx(at_100, rel=1e-5)
    assert down[610] == pytest.approx(at_200, rel=1e-5)
