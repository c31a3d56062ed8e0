"""Terms of a set's register against one another, and the film that makes growth good."""

import pytest

from frames.mechanics.faults import InputFault
from frames.mechanics.off_contact import Gap
from frames.mechanics.register_budget import (
    Term,
    budget,
    by_gap,
    by_tension,
    by_warmth,
    film_scale,
)


def test_the_largest_term_comes_first_whatever_its_sign() -> None:
    told = budget([Term("gap", 0.05), Term("moisture", -0.4), Term("tension", 0.1)], 0.5)
    assert told.largest.name == "moisture"
    assert told.sum_mm == pytest.approx(0.55)
    assert told.likely_mm == pytest.approx((0.05**2 + 0.4**2 + 0.1**2) ** 0.5)
    assert told.within


def test_a_gap_grows_the_print_by_its_square() -> None:
    once, twice = (Gap(1000, h).growth_mm(100, 900) for h in (2, 4))
    assert twice / once == pytest.approx(4, rel=1e-3)


def test_equal_gaps_differ_in_nothing() -> None:
    assert by_gap(1000, 700, 3, 3) == 0


def test_a_sheet_like_its_frame_stays_in_register_with_warmth() -> None:
    assert by_warmth(12, 800, "aluminium", 24e-6) == pytest.approx(0)


def test_the_scaled_film_prints_true() -> None:
    assert 500 * film_scale(0.42, 500) * (1 + 0.42 / 500) == pytest.approx(500)


@pytest.mark.parametrize(
    ("wrong", "field"),
    [
        (lambda: by_gap(800, 900, 3, 2), "image_mm"),
        (lambda: by_tension(1, 0, 500), "stiffness_n_per_cm"),
        (lambda: by_warmth(1, 500, "wood", 0), "frame"),
        (lambda: budget([], 0.1), "terms"),
        (lambda: film_scale(100, 500), "growth_mm"),
        (lambda: Gap(1000, 6).printed_at_mm(2), "stencil_mm"),
    ],
)
def test_what_cannot_be_is_told_by_its_field(wrong: object, field: str) -> None:
    with pytest.raises(InputFault) as told:
        wrong()
    assert told.value.field == field
