"""What limits a target, against figures worked from published rules.

75 % of proof for a joint that is opened again: https://mechconcepts.tech/bolt-torque-calculation/;
proof 580 MPa of class 8.8 (ISO 898-1) and 586 MPa of grade 5 (SAE J429), from memory. Bow of a
pinned side under even load: standard beam formula, from memory. Working tensions of garment mesh:
https://www.images-magazine.com/FB/June_2024/69/, threads of usual thickness assumed.
"""

import pytest

from frames.mechanics.bolts import stress_area_mm2
from frames.mechanics.frame_side import Section, side_load
from frames.mechanics.which_target import Ceiling, by_bolts, by_bow, by_threads, which_target

LBF_N = 4.4482216


@pytest.mark.parametrize(
    ("diameter", "pitch", "inch", "proof", "force_n"),
    [(8.0, 1.25, False, 580, 15924.7), (7.9375, 25.4 / 18, True, 586, 3342.4 * LBF_N)],
)
def test_bolts_bear_three_quarters_of_proof(
    diameter: float, pitch: float, inch: bool, proof: float, force_n: float
) -> None:
    area = stress_area_mm2(diameter, pitch, inch)
    ceiling = by_bolts([50, 150, 250], 300, area, proof)
    assert ceiling.n_per_cm * 10 == pytest.approx(force_n, rel=2e-3)  # 100 mm of mesh a bolt


def test_the_bolt_by_a_wide_corner_limits() -> None:
    even, gapped = (by_bolts(p, 600, 36.6, 580) for p in ([100, 300, 500], [250, 300, 500]))
    assert gapped.n_per_cm < even.n_per_cm


def test_bow_turns_the_side_load_round() -> None:
    made = Section(375, 20, 88281.25, 20)
    ceiling = by_bow(made, 1200, 1.5)
    assert side_load(made, 1200, ceiling.n_per_cm, 1.5).bow_pinned_mm == pytest.approx(1.5)


@pytest.mark.parametrize(
    ("count", "thread", "low", "high"),
    [(62, 64, 25, 28), (77, 55, 25, 28), (90, 48, 25, 28), (100, 40, 20, 22), (110, 40, 20, 22)],
)
def test_threads_allow_about_what_daily_work_lasts_at(
    count: float, thread: float, low: float, high: float
) -> None:
    assert 0.95 * low < by_threads(count, thread).n_per_cm < 1.3 * high


def test_out_of_reach_is_said_with_the_limit() -> None:
    answer = which_target(30, [Ceiling("bolts", 80), Ceiling("bow of the frame", 21.4)])
    assert not answer.possible
    assert answer.message == "30 N/cm is out of reach: the bow of the frame allows 21.4 N/cm."
    assert [ceiling.name for ceiling in answer.ceilings] == ["bow of the frame", "bolts"]
