"""How far the strip model may be trusted, measured on the membrane.

Smooth bar movements (shift, tilt, bow), which is what plans consist of, agree; the influence of one
bolt alone does not, because shear and pre-stress smear out short waves on their way across.
`bench_models.py` prints the difference as a map.
"""

import numpy as np
import pytest

from frames.mechanics import Layout, Membrane, Mesh, Strip

from .layouts import all_five

MESH = Mesh(1200, 1200)
# worst relative difference over the five frames, rounded up: the larger the frame, the more bolts
SHAPES = {"shift": (0, 0.03), "tilt": (1, 0.12), "bow": (2, 0.22)}


def difference(frame: Layout, power: int) -> float:
    """Relative rms difference of the tension that a smooth movement of one bar makes."""
    places = frame.grid(7)
    worst = 0.0
    membrane, strip = Membrane(frame, MESH, 15, 12), Strip(frame, MESH)
    for side, axis in (("A", 1), ("B", 0)):
        along = frame.along(side) / frame.length_mm(side) - 0.5
        bar = np.zeros(frame.count)
        bar[frame.columns(side)] = (2 * along) ** power
        fine, plain = (m.tension(places)[:, axis] @ bar for m in (membrane, strip))
        worst = max(worst, float(np.linalg.norm(plain - fine) / np.linalg.norm(fine)))
    return worst


@pytest.mark.parametrize("frame", all_five()[::2], ids=lambda f: f"{f.inside_a_mm:g}")
@pytest.mark.parametrize("shape", SHAPES)
def test_smooth_movements_agree(frame: Layout, shape: str) -> None:
    power, most = SHAPES[shape]
    assert difference(frame, power) < most


def test_one_bolt_alone_differs_more_on_a_large_frame() -> None:
    off = []
    for frame in (all_five()[0], all_five()[3]):
        fine = Membrane(frame, MESH, 15, 12).tension(frame.grid(5))
        plain = Strip(frame, MESH).tension(frame.grid(5))
        off.append(np.linalg.norm(plain - fine) / np.linalg.norm(fine))
    assert off[0] < 0.2 < off[1] < 0.6
