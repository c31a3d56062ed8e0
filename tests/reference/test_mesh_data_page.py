"""Published rows of plain-weave polyester mesh, 225 per inch, unstretched.

Source: https://www.nt-jp.com/en/products/screen/screen-spec.php (figures rounded there to whole
units, hence the tolerances). The openings come out from the count per inch, not per cm.
"""

import pytest

from frames.mechanics.cloth import ink_volume_cm3_m2, open_area_pct, opening_um

ROWS = [(40, 73, 42, 59, 25), (48, 65, 33, 72, 24), (54, 59, 27, 84, 23)]


@pytest.mark.parametrize(("thread", "opening", "area", "thickness", "ink"), ROWS)
class TestPrintedRow:
    def test_opening(self, thread: int, opening: int, area: int, thickness: int, ink: int) -> None:
        assert opening_um(225, thread) == pytest.approx(opening, abs=0.5)

    def test_open_area(
        self, thread: int, opening: int, area: int, thickness: int, ink: int
    ) -> None:
        assert open_area_pct(opening, thread) == pytest.approx(area, abs=0.6)

    def test_ink_volume(
        self, thread: int, opening: int, area: int, thickness: int, ink: int
    ) -> None:
        assert ink_volume_cm3_m2(thickness, area) == pytest.approx(ink, abs=0.5)


def test_the_label_per_cm_gives_another_opening() -> None:
    assert opening_um(90, 40, "cm") < 73 - 1.5
