"""The laws that screens of the trials relax by, at worked points.

Derived from the stated formulas: T = T0 (1 - k log10(1 + t / 1 s)); T0 (1 + t / 1 s)^-n; the
stretched exponential of Kohlrausch, Williams and Watts; two slopes in log time with the break at
100 s, which is read in http://fibtex.lodz.pl/article1370.html. A night from 20 to 17 or 18 N/cm:
http://www.screenweb.com/content/pushing-limit?page=0%2C1 (February 2001).
"""

import math

import numpy as np
import pytest

from tests.mechanics.relaxing.laws import Loss, broken, power, stretched

START = 25.0
CLOSE = 1e-6


def left(lost: Loss, seconds: float) -> float:
    return START * (1 - float(lost(np.array(seconds / 3600))))


@pytest.mark.parametrize(
    ("seconds", "tension"),
    [(60, 23.8395356), (3600, 22.688325), (86400, 21.7912628), (604800, 21.2419519)],
)
def test_one_slope_in_log_time(seconds: float, tension: float) -> None:
    assert left(broken(0.026, 0.026, 100), seconds) == pytest.approx(tension, abs=CLOSE)


@pytest.mark.parametrize(
    ("seconds", "tension"), [(60, 23.7966625), (3600, 22.6601579), (86400, 21.8123161)]
)
def test_power_law(seconds: float, tension: float) -> None:
    assert left(power(0.012), seconds) == pytest.approx(tension, abs=CLOSE)


@pytest.mark.parametrize(
    ("seconds", "tension"), [(60, 24.1464238), (3600, 22.2815472), (86400, 20.459876)]
)
def test_stretched_exponential(seconds: float, tension: float) -> None:
    lost = stretched(5 / START, 2.0, 0.35)
    assert left(lost, seconds) == pytest.approx(tension, abs=CLOSE)


@pytest.mark.parametrize(
    ("seconds", "tension"),
    [(60, 23.6610026), (100, 23.496759), (3600, 22.7207081), (86400, 22.0306603)],
)
def test_two_slopes(seconds: float, tension: float) -> None:
    assert left(broken(0.03, 0.02, 100), seconds) == pytest.approx(tension, abs=CLOSE)


def test_a_night_from_20_to_17_and_a_half() -> None:
    """What it is per decade of time from one second on."""
    per_decade = 0.125 / math.log10(1 + 16 * 3600)
    assert per_decade == pytest.approx(0.026258132, abs=CLOSE)
    assert 20 * (1 - float(broken(per_decade, per_decade, 100)(np.array(16.0)))) == pytest.approx(
        17.5
    )
