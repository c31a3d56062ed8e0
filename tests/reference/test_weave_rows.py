"""Openings, open areas, counts, ink volumes, wet films; the source stands in each row.

Pairs of count and thread without a maker's table are from memory; the formulas they are put into
are published (named in the row).
"""

import pytest

from frames.mechanics.cloth import ink_volume_cm3_m2, open_area_pct, opening_um
from frames.mechanics.weave import count_per_inch, stretched, wet_film_um
from tests.reference.rows import rows

OPEN_OF_THE_WET_FILM_PCT = 30.0  # chosen for the published formula's row


def _opening(row: dict[str, float]) -> float:
    if "opening_um" in row:
        return row["opening_um"]
    per = "inch" if "count_per_inch" in row else "cm"
    return opening_um(row[f"count_per_{per}"], row["thread_um"], per)


def _open_area(row: dict[str, float]) -> float:
    return open_area_pct(_opening(row), row["thread_um"])


SUMS = {
    "opening": _opening,
    "open_area": _open_area,
    "ink_volume": lambda row: ink_volume_cm3_m2(row["thickness_um"], _open_area(row)),
    "count_per_inch": lambda row: count_per_inch(row["opening_um"], row["thread_um"]),
    "count_under_tension": lambda row: (
        stretched(row["count_per_cm"], 50, row["strain"]).count_per_cm
    ),
    "opening_under_tension": lambda row: (
        stretched(100, row["opening_um"], row["strain"]).opening_um
    ),
    "wet_film": lambda row: wet_film_um(
        row["thickness_um"], OPEN_OF_THE_WET_FILM_PCT, row["build_up_um"]
    ),
}


@pytest.mark.parametrize("row", rows("weave"), ids=lambda row: row["quantity"])
def test_row(row: dict[str, str]) -> None:
    figures = {k: float(v) for k, v in row.items() if k not in ("quantity", "source")}
    got = SUMS[row["quantity"]](figures)
    assert got == pytest.approx(figures["expected"], abs=figures["tolerance"]), row["source"]


def test_every_sum_has_rows() -> None:
    assert {row["quantity"] for row in rows("weave")} == set(SUMS)
