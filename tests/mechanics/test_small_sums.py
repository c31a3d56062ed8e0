"""Pre-bow, piece size and the shape of a meter study."""

import numpy as np
import pytest

from frames.mechanics import InputFault, average_and_range, piece_mm, pre_bow_turns


def test_pre_bow_is_even_about_the_middle_and_piece_adds_both_ends() -> None:
    turns = pre_bow_turns([100, 300, 500, 700, 900], 1000, 8, 25.4 / 18)
    assert turns == pytest.approx(turns[::-1])
    assert turns[0] > turns[1] > turns[2] == 0
    assert piece_mm(900, 40, 15, 30) == 900 + 170


def test_a_gauge_study_needs_its_shape() -> None:
    with pytest.raises(InputFault, match="readings"):
        average_and_range(np.zeros((1, 5, 3)))
