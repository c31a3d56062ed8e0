"""Register errors taken apart, against least-squares transforms of a general-purpose library."""

import numpy as np
import pytest
from scipy.optimize import least_squares
from scipy.spatial.transform import Rotation

from frames.mechanics import Layout, Mark, decompose
from frames.mechanics.views import centred_mm

FRAME = Layout.evenly(1000, 700, 5, 4)
SIX = [(0.2, 0.2), (0.8, 0.2), (0.2, 0.8), (0.8, 0.8), (0.5, 0.2), (0.5, 0.8)]
PARTS = {
    "shift_x": 0.3,
    "shift_y": -0.2,
    "rotation": 0.4,
    "stretch_x": -0.5,
    "stretch_y": 0.6,
    "skew": 0.25,
}


def marks_of(errors: np.ndarray, places: list[tuple[float, float]] = SIX) -> list[Mark]:
    pairs = zip(places, errors.tolist(), strict=True)
    return [Mark(u, v, dx, dy) for (u, v), (dx, dy) in pairs]


def exact(places: list[tuple[float, float]]) -> np.ndarray:
    """Errors by the 2 x 2 matrix of rotation, stretch and skew, written out independently."""
    p = PARTS
    matrix = np.array(
        [
            [p["stretch_x"], p["skew"] / 2 - p["rotation"]],
            [p["skew"] / 2 + p["rotation"], p["stretch_y"]],
        ]
    )
    at = centred_mm(FRAME, places) / 1000
    return at @ matrix.T + [p["shift_x"], p["shift_y"]]


@pytest.mark.parametrize("name", PARTS)
def test_every_part_comes_back(name: str) -> None:
    found = decompose(FRAME, marks_of(exact(SIX)))
    assert found.part(name) == pytest.approx(PARTS[name], abs=2e-3)
    assert found.rest_rms_mm < 1e-3
    assert found.cannot_tell == ()


def test_against_scipy_least_squares_on_scattered_marks() -> None:
    errors = exact(SIX) + np.random.default_rng(4).normal(0, 0.05, (6, 2))
    at = centred_mm(FRAME, SIX) / 1000

    def gap(p: np.ndarray) -> np.ndarray:
        return (at @ p[2:].reshape(2, 2).T + p[:2] - errors).ravel()

    x = least_squares(gap, np.zeros(6), xtol=1e-14, ftol=1e-14).x
    (xx, xy), (yx, yy) = x[2:].reshape(2, 2)
    found = decompose(FRAME, marks_of(errors))
    other = [*x[:2], (yx - xy) / 2, xx, yy, xy + yx]
    np.testing.assert_allclose(found.values, other, atol=3e-3)


def test_rotation_against_the_best_rigid_alignment() -> None:
    """Kabsch's alignment of the printed marks on the wanted ones."""
    angle = 0.0008
    at = centred_mm(FRAME, SIX)
    flat = np.column_stack([at, np.zeros(6)])
    printed = Rotation.from_rotvec([0, 0, angle]).apply(flat)[:, :2]
    turn, _ = Rotation.align_vectors(np.column_stack([printed, np.zeros(6)]), flat)
    found = decompose(FRAME, marks_of(printed - at))
    assert found.part("rotation") / 1000 == pytest.approx(turn.as_rotvec()[2], rel=5e-3)


@pytest.mark.parametrize(
    ("places", "open_parts"),
    [
        ([(0.5, 0.5)], {"rotation", "stretch_x", "stretch_y", "skew"}),
        ([(0.2, 0.5), (0.8, 0.5)], {"rotation", "stretch_y", "skew"}),
        ([(0.5, 0.2), (0.5, 0.8)], {"rotation", "stretch_x", "skew"}),
        ([(0.2, 0.2), (0.8, 0.2), (0.5, 0.8)], set()),
    ],
)
def test_what_the_marks_cannot_tell(
    places: list[tuple[float, float]], open_parts: set[str]
) -> None:
    found = decompose(FRAME, marks_of(exact(places), places))
    assert set(found.cannot_tell) - {"shift_x", "shift_y"} == open_parts
    assert bool(found.message) == bool(open_parts)


def test_doubt_of_a_part_follows_the_marks() -> None:
    near = decompose(FRAME, marks_of(exact(SIX)))
    rough = [Mark(m.u, m.v, m.dx_mm, m.dy_mm, 0.1) for m in marks_of(exact(SIX))]
    far = decompose(FRAME, rough)
    np.testing.assert_allclose(far.sd, 2 * near.sd, rtol=0.02)
