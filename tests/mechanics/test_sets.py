"""Sets of screens against trying everything, and the small frame sums."""

from itertools import permutations

import numpy as np
import pytest

from frames.mechanics import InputFault, average_and_range, match, piece_mm, pre_bow_turns


def by_trying(candidates: dict[str, list[str]], deviation: dict[str, float]) -> float:
    """Least spread over all ways to give out screens; infinite if there is none."""
    best = np.inf
    for chosen in permutations(deviation, len(candidates)):
        if all(s in fit for s, fit in zip(chosen, candidates.values(), strict=True)):
            values = [deviation[s] for s in chosen]
            best = min(best, max(values) - min(values))
    return best


@pytest.mark.parametrize("seed", range(30))
def test_the_spread_is_the_least_there_is(seed: int) -> None:
    r = np.random.default_rng(seed)
    deviation = {f"F{i}": float(r.normal(0, 1.5)) for i in range(7)}
    candidates = {c: [s for s in deviation if r.random() < 0.5] for c in "abcd"[: 2 + seed % 3]}
    found, least = match(candidates, deviation), by_trying(candidates, deviation)
    if np.isinf(least):
        assert found.status == "short"
        return
    assert found.spread_n_per_cm == pytest.approx(least)
    assert len(set(found.screens.values())) == len(candidates)
    assert all(s in candidates[c] for c, s in found.screens.items())


def test_a_screen_without_forecast_is_named() -> None:
    with pytest.raises(InputFault, match="F2"):
        match({"a": ["F2"]}, {"F1": 0.0})


def test_pre_bow_is_even_about_the_middle_and_piece_adds_both_ends() -> None:
    turns = pre_bow_turns([100, 300, 500, 700, 900], 1000, 8, 25.4 / 18)
    assert turns == pytest.approx(turns[::-1])
    assert turns[0] > turns[1] > turns[2] == 0
    assert piece_mm(900, 40, 15, 30) == 900 + 170


def test_a_gauge_study_needs_its_shape() -> None:
    with pytest.raises(InputFault, match="readings"):
        average_and_range(np.zeros((1, 5, 3)))
