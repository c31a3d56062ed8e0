"""Laws any elastic frame obeys: energy, reciprocity, mirror images, scaling."""

import numpy as np
import pytest

from frames.mechanics import Bar, Layout, Membrane, Mesh


def build(a: float = 900, b: float = 700, mesh: Mesh | None = None) -> Membrane:
    frame = Layout.evenly(a, b, 5, 4, Bar(4e6, 25))
    return Membrane(frame, mesh or Mesh(1100, 800, 0.1, 25), 15, 10)


@pytest.fixture(scope="module")
def membrane() -> Membrane:
    return build()


def tight(places: np.ndarray) -> np.ndarray:
    """Strain at which the mesh carries nothing: it is locked in 1 % tight, more at u = 1."""
    return -0.01 - 0.002 * places[:, [0, 0]]


def test_bolt_work_becomes_stored_energy(membrane: Membrane) -> None:
    start = np.zeros(membrane.layout.count)
    step = np.linspace(0.2, 0.6, membrane.layout.count)
    (one, _), (two, _) = membrane.settle(start, tight), membrane.settle(step, tight)
    both_bear = (one.force_n > 0) & (two.force_n > 0)
    moved = two.bar_mm - one.bar_mm
    work = (one.force_n + two.force_n) / 2 @ moved
    assert both_bear.sum() > 10
    assert two.energy_n_mm - one.energy_n_mm == pytest.approx(work, rel=1e-4)


def test_forces_balance_across_the_frame(membrane: Membrane) -> None:
    rest, _ = membrane.settle(np.zeros(membrane.layout.count), tight)
    side = {s: rest.force_n[membrane.layout.columns(s)].sum() for s in "ABCD"}
    assert side["A"] == pytest.approx(side["C"], rel=1e-5)
    assert side["B"] == pytest.approx(side["D"], rel=1e-5)


def test_reciprocity(membrane: Membrane) -> None:
    """Force at one bolt per movement of another, and the other way round (Maxwell and Betti)."""
    s = membrane.stiffness
    np.testing.assert_allclose(s, s.T, atol=1e-9 * np.abs(s).max())


def test_shifting_or_twisting_all_bars_together_costs_nothing(membrane: Membrane) -> None:
    frame = membrane.layout
    half = {"A": 450, "B": 350, "C": 450, "D": 350}
    out = {"A": 1.0, "B": -1.0, "C": 1.0, "D": -1.0}
    shift = frame.vector({n: {"B": 1.0, "D": -1.0}.get(n[0], 0.0) for n in frame.names})
    twist = np.concatenate(
        [-out[s] * (frame.along(s) - half[s]) * (1 if s in "BC" else -1) / 500 for s in "ABCD"]
    )
    scale = np.abs(membrane.stiffness).max()
    assert np.abs(membrane.stiffness @ shift).max() < 1e-8 * scale
    sheared = np.abs(membrane.stiffness @ twist).max()
    assert sheared < 0.05 * scale


def test_mirror_image(membrane: Membrane) -> None:
    """Seen in a mirror, B and D change places and A and C run the other way."""
    frame = membrane.layout
    mirror = [mirrored(name, frame) for name in frame.names]
    places = np.array([(0.2, 0.3), (0.6, 0.8)])
    here = membrane.tension(places)
    there = membrane.tension(np.stack([1 - places[:, 0], places[:, 1]], axis=1))
    np.testing.assert_allclose(there[:, :, mirror], here, atol=1e-8)


def mirrored(name: str, frame: Layout) -> int:
    side = {"A": "A", "B": "D", "C": "C", "D": "B"}[name[0]]
    return frame.index(f"{side}{len(frame.bolts[side]) + 1 - int(name[1:])}")


def test_swapping_x_and_y(membrane: Membrane) -> None:
    frame = Layout.evenly(700, 900, 4, 5, Bar(4e6, 25))
    turned = Membrane(frame, Mesh(800, 1100, 0.1, 25), 15, 10)
    side = {"A": "D", "B": "C", "C": "B", "D": "A"}
    swap = [
        frame.index(f"{side[n[0]]}{len(membrane.layout.bolts[n[0]]) + 1 - int(n[1:])}")
        for n in membrane.layout.names
    ]
    here = membrane.tension([(0.3, 0.7)])
    there = turned.tension([(0.7, 0.3)])[:, ::-1]
    np.testing.assert_allclose(there[:, :, swap], here, atol=1e-8)


def test_twice_as_stiff_all_over_doubles_forces_and_tensions(membrane: Membrane) -> None:
    frame = Layout.evenly(900, 700, 5, 4, Bar(8e6, 25))
    double = Membrane(frame, Mesh(2200, 1600, 0.1, 50), 30, 10)
    np.testing.assert_allclose(double.stiffness, 2 * membrane.stiffness, rtol=1e-9, atol=1e-7)
    at = frame.grid(3)
    np.testing.assert_allclose(double.displacement(at), membrane.displacement(at), atol=1e-10)
    np.testing.assert_allclose(double.tension(at), 2 * membrane.tension(at), atol=1e-9)


def test_prestress_moves_the_influence_by_a_tenth_or_so() -> None:
    frame, mesh = Layout.evenly(1000, 1000, 8, 8), Mesh(1000, 1000, 0.05, 10)
    slack, tense = (Membrane(frame, mesh, n0, 12).tension(frame.grid(5)) for n0 in (0, 15))
    moved = np.linalg.norm(tense - slack) / np.linalg.norm(slack)
    assert 0.05 < moved < 0.25
