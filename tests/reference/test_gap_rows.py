"""Off-contact, row by row: derived from exact plane geometry of two straight arms, no friction.

The two bounds on the image at the end are derived by dT / EA x image; the sheet's percentages:
https://faj-chemicalimpression.blogspot.com/2011/10/dimensional-stability.html.
"""

import pytest

from frames.mechanics.off_contact import Gap
from frames.mechanics.register_budget import by_moisture, by_tension
from tests.reference.rows import rows

SUMS = {
    "extra_strain": lambda gap, row: gap.extra_strain(row["at_mm"]),
    "shift": lambda gap, row: gap.shift_mm(row["at_mm"]),
    "growth": lambda gap, row: gap.growth_mm(row["from_mm"], row["to_mm"]),
    "downforce": lambda gap, row: gap.downforce(row["at_mm"], row["tension_n_per_cm"]),
    "tension_rise": lambda gap, row: gap.tension_rise(row["at_mm"], row["stiffness_n_per_cm"]),
}


@pytest.mark.parametrize("row", rows("gap"), ids=lambda row: row["quantity"])
def test_row(row: dict[str, str]) -> None:
    figures = {k: float(v) for k, v in row.items() if k != "quantity"}
    gap = Gap(figures["span_mm"], figures["gap_mm"])
    got = SUMS[row["quantity"]](gap, figures)
    assert got == pytest.approx(figures["expected"], abs=figures["tolerance"])


def test_every_sum_has_rows() -> None:
    assert {row["quantity"] for row in rows("gap")} == set(SUMS)


@pytest.mark.parametrize(
    ("change", "stiffness", "image", "most"),
    [(1, 1000, 500, 0.5), (2, 1000, 500, 1.0), (3, 700, 800, 3.42857)],
)
def test_image_change_if_the_bars_moved(
    change: float, stiffness: float, image: float, most: float
) -> None:
    assert by_tension(change, stiffness, image) == pytest.approx(most, abs=1e-5)


@pytest.mark.parametrize(("percent", "most"), [(0.15, 0.75), (0.35, 1.75)])
def test_coated_art_paper_across_its_grain(percent: float, most: float) -> None:
    assert by_moisture(percent, 500) == pytest.approx(most)
