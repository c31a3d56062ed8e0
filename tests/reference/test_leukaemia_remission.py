"""Median life by the product-limit estimate.

Remission times in weeks of 21 patients on 6-mercaptopurine and of 21 on placebo, the usual worked
example (Freireich and others, 1963, from memory): medians 23 and 8.
"""

import pytest

from frames.mechanics.life import mesh_life

TREATED = [6, 6, 6, 6, 7, 9, 10, 10, 11, 13, 16, 17, 19, 20, 22, 23, 25, 32, 32, 34, 35]
RELAPSED = [1, 1, 1, 0, 1, 0, 1, 0, 0, 1, 1, 0, 0, 0, 1, 1, 0, 0, 0, 0, 0]
PLACEBO = [1, 1, 2, 2, 3, 4, 4, 5, 5, 8, 8, 8, 8, 11, 11, 12, 12, 15, 17, 22, 23]


@pytest.mark.parametrize(
    ("weeks", "relapsed", "median"), [(TREATED, RELAPSED, 23), (PLACEBO, [1] * 21, 8)]
)
def test_median(weeks: list[int], relapsed: list[int], median: int) -> None:
    found = mesh_life(weeks, [bool(r) for r in relapsed])
    assert found.median == median
    assert found.ended == sum(relapsed)
    assert found.low is not None
    assert found.low <= median
