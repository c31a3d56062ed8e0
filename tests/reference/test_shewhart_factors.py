"""Factors of Shewhart's charts for groups of 2 to 10; the source stands in each row."""

import pytest

from frames.mechanics.charts import factors
from tests.reference.rows import rows

LAST_DIGIT = 0.0011  # the tables round to three decimals, some of them twice


@pytest.mark.parametrize("row", rows("shewhart"), ids=lambda r: f"{r['factor']} n={r['n']}")
def test_factor(row: dict[str, str]) -> None:
    value = factors(int(row["n"]))[row["factor"]]
    assert value == pytest.approx(float(row["value"]), abs=LAST_DIGIT)
