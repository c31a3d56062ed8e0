"""Bolts pull and never push."""

import numpy as np
import pytest

from frames.mechanics import Layout, Mesh, Strip, settle
from frames.mechanics.contact import nip_up


def strip() -> Strip:
    return Strip(Layout.evenly(1000, 1000, 6, 6), Mesh(1000, 1000))


def rest_of(draw: np.ndarray) -> object:
    s = strip()
    pull = s.pull(lambda at: np.full((len(at), 2), 15.0))
    return settle(s.bending + s.spring, pull, draw, s.layout.names)


def test_even_draws_all_bear_with_the_force_of_their_share() -> None:
    rest = rest_of(np.zeros(24))
    assert rest.loose == ()
    assert rest.force_n.sum() == pytest.approx(4 * 15 * 100, rel=1e-9)


def test_one_bolt_turned_far_hangs_its_neighbours_loose() -> None:
    draw = np.zeros(24)
    draw[2] = 3.0
    rest = rest_of(draw)
    assert {"A2", "A4"} <= set(rest.loose)
    assert np.all(rest.force_n >= 0)
    assert np.all(rest.bar_mm >= draw - 1e-9)
    assert np.all((rest.force_n < 1e-6) | (np.abs(rest.bar_mm - draw) < 1e-9))


def test_nipping_up_takes_loose_bolts_to_their_bar_and_changes_nothing_else() -> None:
    draw = np.zeros(24)
    draw[2] = 3.0
    rest = rest_of(draw)
    nipped = nip_up(draw, rest.bar_mm, np.ones(24, bool))
    again = rest_of(nipped)
    assert again.loose == ()
    np.testing.assert_allclose(again.bar_mm, rest.bar_mm, atol=1e-6)


def test_a_broken_bolt_holds_nothing() -> None:
    s, held = strip(), np.ones(24, bool)
    held[0] = False
    pull = s.pull(lambda at: np.full((len(at), 2), 15.0))
    rest = settle(s.bending + s.spring, pull, np.zeros(24), s.layout.names, held)
    assert rest.force_n[0] == 0
    assert rest.bar_mm[0] < 0  # the end of the bar is pulled in


@pytest.mark.parametrize("seed", range(20))
def test_optimality_on_random_draws(seed: int) -> None:
    draw = np.random.default_rng(seed).normal(0, 0.3, 24)
    s = strip()
    pull = s.pull(lambda at: np.full((len(at), 2), 15.0))
    rest = rest_of(draw)
    balance = (s.bending + s.spring) @ rest.bar_mm + pull
    np.testing.assert_allclose(balance, rest.force_n, atol=1e-3)
    assert np.all(rest.bar_mm >= draw - 1e-9)
