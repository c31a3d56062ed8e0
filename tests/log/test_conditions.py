"""The word for a screen, at and around every limit."""

import pytest

from frames.conditions import condition, shown
from frames.effects import checked
from tests.log.making import DAY_MS, START_MS, Maker

SHOP = {"recent_days": 7, "spread_limit_n_per_cm": 3}
Spots = list[float]


def screen(readings: Spots, target: float = 20, tolerance: float = 1.5) -> dict:
    """A screen whose only check reads these, in one direction."""
    spots = [
        {"u": 0.5, "v": 0.5, "along_a_n_per_cm": value, "across_a_n_per_cm": None}
        for value in readings
    ]
    payload = {"meter": None, "stencil": "bare", "spots": spots}
    entry = Maker(0).entry("tension_check", payload)
    empty = {"checks": {"bare": None, "coated": None}}
    check = checked(empty, entry, entry["occurred_at"])["last_check"]
    return {"target_n_per_cm": target, "tolerance_n_per_cm": tolerance, "last_check": check}


@pytest.mark.parametrize(
    ("readings", "word"),
    [
        ([20], "holding"),
        ([18.5, 21.5], "holding"),
        ([18.4, 20], "low"),
        ([20, 21.6], "high"),
        ([18, 22], "low"),
        ([18.5, 20, 20, 20, 21.5], "holding"),
    ],
)
def test_limits_themselves_are_still_in_tolerance(readings: Spots, word: str) -> None:
    assert condition(screen(readings), SHOP, START_MS)["word"] == word


@pytest.mark.parametrize(
    ("readings", "word"),
    [
        ([18.4, 20, 20, 20, 21.5], "uneven"),
        ([18.5, 20, 20, 20, 21.5], "holding"),
        ([18.4, 20, 20, 21.5], "holding"),
        ([16.9, 20, 20, 20, 21.5], "low"),
    ],
)
def test_uneven_needs_five_spots_and_comes_after_low(readings: Spots, word: str) -> None:
    assert condition(screen(readings, tolerance=3), SHOP, START_MS)["word"] == word


@pytest.mark.parametrize(
    ("after_ms", "word"),
    [(7 * DAY_MS, "holding"), (7 * DAY_MS + 1, "unknown"), (-DAY_MS, "holding")],
)
def test_a_check_counts_for_the_shop_s_days(after_ms: int, word: str) -> None:
    assert condition(screen([20]), SHOP, START_MS + after_ms)["word"] == word


def test_sums_that_no_float_holds_exactly_do_not_move_a_limit() -> None:
    """22.1 − 1.2 is 20.900000000000002 in binary; a reading of 20.9 is in tolerance."""
    assert 22.1 - 1.2 > 20.9
    assert condition(screen([20.9], 22.1, 1.2), SHOP, START_MS)["word"] == "holding"


def test_reasons_are_sentences_with_the_figures() -> None:
    said = [
        condition(screen(readings, tolerance=1.5), SHOP, START_MS)["reason"]
        for readings in ([18.25], [22], [20])
    ]
    assert said == [
        "The lowest spot reads 18.3; wanted is 20 ± 1½ N/cm.",
        "The highest spot reads 22; wanted is 20 ± 1½ N/cm.",
        "All spots read within 20 ± 1½ N/cm.",
    ]
    late = condition(screen([20]), SHOP | {"recent_days": 1}, START_MS + 2 * DAY_MS)
    assert late["reason"] == "The last tension check is more than 1 day old."


def at(u: float, v: float, along: float, across: float | None) -> dict[str, float | None]:
    return {"u": u, "v": v, "along_a_n_per_cm": along, "across_a_n_per_cm": across}


@pytest.mark.parametrize(
    ("spot", "said"),
    [
        (at(0.1, 0.1, 13, 14), "Lowest by A and D: 13½ (mean of both ways)"),
        (at(0.9, 0.9, 13.5, None), "Lowest by C and B: 13½"),
        (at(0.5, 0.9, 12, 12), "Lowest by C: 12"),
        (at(0.9, 0.5, 28, 29), "Highest by B: 28½ (mean of both ways)"),
        (at(0.5, 0.5, 13, 14.2), "Lowest in the middle: 13.6 (mean of both ways)"),
    ],
)
def test_the_spot_that_is_off_is_named_and_a_mean_is_called_one(spot: dict, said: str) -> None:
    state = screen([20, 20], tolerance=1.5)
    check = state["last_check"]
    mean = sum(both := [v for k, v in spot.items() if k[0] == "a" and v is not None]) / len(both)
    spots = [at(0.3, 0.7, 20, 20), spot]
    check |= {"spots": spots, "low": min(mean, 20), "high": max(mean, 20)}
    assert condition(state, SHOP, START_MS)["reason"] == f"{said}; wanted is 20 ± 1½ N/cm."


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (20.25, "20.3"),
        (20.5, "20½"),
        (0.5, "½"),
        (20.0, "20"),
        (19.96, "20"),
        (0.05, "0.1"),
        (3, "3"),
    ],
)
def test_numbers_are_shown_with_one_decimal_at_most(value: float, text: str) -> None:
    assert shown(value) == text
