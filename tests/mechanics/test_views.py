"""The frame as it lies: every face and near side, against the table of the frame axes."""

import numpy as np
import pytest

from frames.mechanics import View

SEEN = {
    ("squeegee", "A"): lambda u, v: (u, v),
    ("squeegee", "B"): lambda u, v: (v, 1 - u),
    ("squeegee", "C"): lambda u, v: (1 - u, 1 - v),
    ("squeegee", "D"): lambda u, v: (1 - v, u),
    ("print", "A"): lambda u, v: (1 - u, v),
    ("print", "B"): lambda u, v: (1 - v, 1 - u),
    ("print", "C"): lambda u, v: (u, 1 - v),
    ("print", "D"): lambda u, v: (v, u),
}
PLACE = (0.2, 0.7)


@pytest.mark.parametrize("view", SEEN, ids="-".join)
def test_a_place_is_seen_where_the_table_says(view: tuple[str, str]) -> None:
    np.testing.assert_allclose(View(*view).seen([PLACE])[0], SEEN[view](*PLACE))


@pytest.mark.parametrize("view", SEEN, ids="-".join)
def test_and_back(view: tuple[str, str]) -> None:
    here = View(*view)
    np.testing.assert_allclose(here.place(here.seen([PLACE]))[0], PLACE)


@pytest.mark.parametrize("view", SEEN, ids="-".join)
def test_directions_go_with_places(view: tuple[str, str]) -> None:
    here = View(*view)
    start = np.array(here.place([(0.4, 0.4)])[0])
    right = np.array(here.place([(0.5, 0.4)])[0])
    np.testing.assert_allclose(here.direction(1, 0), (right - start) / 0.1, atol=1e-12)
