"""Two spans of 6 m and 12 m, 20 kN in the middle of each, level supports.

Source: https://expertsmind.com/topic/theorem-of-three-moments/find-the-support-reactions-914302.aspx
Units kN and m. The figures there are exact, so the tolerance is that of the elements.
"""

import numpy as np
import pytest

from frames.mechanics.beam import BeamAnswer, bend

EI = 1000.0  # cancels


@pytest.fixture(scope="module")
def two_spans() -> BeamAnswer:
    nodes = np.array([0.0, 3, 6, 12, 18])
    return bend(nodes, EI, {0: 0, 2: 0, 4: 0}, point_loads={1: -20, 3: -20})


def test_moment_over_the_middle_support(two_spans: BeamAnswer) -> None:
    assert two_spans.moment[2] == pytest.approx(-37.5, abs=1e-3)


@pytest.mark.parametrize(("node", "reaction"), [(0, 3.75), (2, 29.375), (4, 6.875)])
def test_reactions(two_spans: BeamAnswer, node: int, reaction: float) -> None:
    assert two_spans.reaction[node] == pytest.approx(reaction, abs=1e-3)
