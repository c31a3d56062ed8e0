"""Three equal spans of 20 ft on supports that settle, 2 kip/ft on all.

Source: Kassimali, Structural Analysis, 3rd ed., Example 13.14, as quoted in
https://github.com/JWock82/Pynite Testing/test_support_settlement.py. The book carries rounding
through three-moment equations, which that test allows for with 7.6 %; the exact figures beside them
come from a stiffness solution of the same beam. Units kip and inch.
"""

import numpy as np
import pytest

from frames.mechanics.beam import BeamAnswer, bend

BOOK_ROUNDING = 0.076
BOOK = {0: -1.098, 8: 122.373, 16: -61.451, 24: 60.176}
EXACT = {0: -1.18099, 8: 122.541667, 16: -61.540365, 24: 60.179688}


@pytest.fixture(scope="module")
def settled() -> BeamAnswer:
    nodes = np.linspace(0, 720, 25)
    supports = {0: 0.0, 8: -0.625, 16: -1.5, 24: -0.75}
    return bend(nodes, 29000 * 7800, supports, line_load=-2 / 12)


@pytest.mark.parametrize("node", BOOK)
def test_reactions_in_the_book(settled: BeamAnswer, node: int) -> None:
    assert settled.reaction[node] == pytest.approx(BOOK[node], rel=BOOK_ROUNDING)


@pytest.mark.parametrize("node", EXACT)
def test_reactions_exactly(settled: BeamAnswer, node: int) -> None:
    assert settled.reaction[node] == pytest.approx(EXACT[node], abs=1e-4)


@pytest.mark.parametrize(("node", "kip_ft"), [(8, -423.61979), (16, 803.59375)])
def test_moments_exactly(settled: BeamAnswer, node: int, kip_ft: float) -> None:
    assert settled.moment[node] / 12 == pytest.approx(kip_ft, abs=1e-3)
