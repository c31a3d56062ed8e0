"""The membrane against cases with an exact answer."""

import numpy as np
import pytest

from frames.mechanics import Bar, Layout, Membrane, Mesh, Strip

STIFF = Bar(1e10, 0)  # bars that do not bend between bolts under mesh alone
THREADS = Mesh(1000, 800, coupling=0, shear_n_per_cm=0)


def test_uniform_draw_gives_uniform_strain() -> None:
    frame, mesh = Layout.evenly(1000, 800, 6, 5, STIFF), Mesh(1000, 800)
    draw = frame.vector(dict.fromkeys(frame.names, 1.0))
    everywhere = Membrane(frame, mesh, divisions=6).tension(frame.grid(6, 0)) @ draw
    by_hand = np.array(mesh.stiffness) @ [2 / 1000, 2 / 800]
    np.testing.assert_allclose(everywhere, np.tile(by_hand, (36, 1)), rtol=2e-6)


def test_uniform_draw_moves_the_image_in_proportion() -> None:
    frame = Layout.evenly(1000, 800, 6, 5, STIFF)
    draw = frame.vector(dict.fromkeys(frame.names, 1.0))
    places = frame.grid(5, 0)
    moved = Membrane(frame, Mesh(1000, 800), divisions=6).displacement(places) @ draw
    np.testing.assert_allclose(moved, 2 * places - 1, atol=4e-6)


def test_without_shear_coupling_and_prestress_it_is_the_strip_model() -> None:
    frame = Layout.evenly(1000, 800, 4, 3, STIFF)
    strip, places = Strip(frame, THREADS), frame.grid(5)
    gap = [
        np.abs(
            Membrane(frame, THREADS, 0, n).displacement(places) - strip.displacement(places)
        ).max()
        for n in (10, 20, 40)
    ]
    assert gap[2] < 2e-5  # mm per mm of bar
    assert np.all(np.log2(np.array(gap[:2]) / gap[1:]) > 2.5)  # goes away with refinement


def test_strip_limit_of_the_tension() -> None:
    frame = Layout.evenly(1000, 800, 4, 3, STIFF)
    strip, places = Strip(frame, THREADS), frame.grid(5)
    far = np.abs(Membrane(frame, THREADS, 0, 48).tension(places) - strip.tension(places)).max()
    assert far < 4e-3 * np.abs(strip.tension(places)).max()


@pytest.mark.parametrize("length", [600.0, 1500.0])
def test_one_bolt_in_the_strip_limit_is_a_beam_on_a_foundation(length: float) -> None:
    """Hetenyi, finite bar with free ends and a central load (from memory); k = E / span."""
    far = tuple(np.linspace(10, length - 10, 12))
    frame = Layout(800, length, {"B": (length / 2,), "D": far}, Bar(2e6, 0))
    membrane = Membrane(frame, THREADS, 0, 32)
    k, ei = 100.0 / 800, 2e8
    lam = (k / 4 / ei) ** 0.25
    x = lam * length
    middle = lam / 2 / k * (2 + np.cosh(x) + np.cos(x)) / (np.sinh(x) + np.sin(x))
    assert membrane.stiffness[0, 0] == pytest.approx(1 / middle, rel=1e-3)


def manufactured_error(divisions: int) -> float:
    """Relative L2 error against ux = sin sin, uy = a different sin sin, all edges held."""
    from skfem import Functional, LinearForm
    from skfem.utils import condense, solve

    frame, mesh = Layout.evenly(1000, 800, 4, 4, Bar(6e6, 0)), Mesh(900, 700, 0.1, 60)
    membrane = Membrane(frame, mesh, 20, divisions)
    (d11, d12), (_, d22) = np.array(mesh.stiffness) / 10
    g, n0, p, q = 6.0, 2.0, np.pi / 1000, np.pi / 800

    def exact(x: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        return np.sin(p * x[0]) * np.sin(2 * q * x[1]), np.sin(2 * p * x[0]) * np.sin(q * x[1])

    def body_x(v: object, w: object) -> np.ndarray:
        ux, _ = exact(w.x)
        mixed = 2 * p * q * np.cos(2 * p * w.x[0]) * np.cos(q * w.x[1])
        return (((d11 + n0) * p**2 + (g + n0) * 4 * q**2) * ux - (d12 + g) * mixed) * v

    def body_y(v: object, w: object) -> np.ndarray:
        _, uy = exact(w.x)
        mixed = 2 * p * q * np.cos(p * w.x[0]) * np.cos(2 * q * w.x[1])
        return (((g + n0) * 4 * p**2 + (d22 + n0) * q**2) * uy - (d12 + g) * mixed) * v

    basis = membrane.basis
    load = np.concatenate([LinearForm(f).assemble(basis) for f in (body_x, body_y)])
    edge = basis.get_dofs().all()
    u = solve(*condense(membrane.elastic, load, D=np.concatenate([edge, edge + basis.N])))
    total = 0.0
    for i in (0, 1):
        field = basis.interpolate(u[i * basis.N : (i + 1) * basis.N])
        total += Functional(lambda w, i=i: (w["u"] - exact(w.x)[i]) ** 2).assemble(basis, u=field)
    return float(np.sqrt(total / (1000 * 800 / 2)))


def test_manufactured_solution_converges_at_third_order() -> None:
    """Quadratic elements: the L2 error falls with the third power of the element size."""
    errors = np.array([manufactured_error(n) for n in (5, 10, 20)])
    orders = np.log2(errors[:-1] / errors[1:])
    assert errors[-1] < 1e-3
    np.testing.assert_allclose(orders, 3.0, atol=0.2)
