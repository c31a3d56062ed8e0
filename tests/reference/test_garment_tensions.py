"""Working tensions of one garment printer and the thread stress they make.

Source of the tensions: https://www.images-magazine.com/FB/June_2024/69/. Thread diameters are usual
values assumed for the count; stresses follow by T / (n pi d^2 / 4).
"""

import pytest

from frames.mechanics.cloth import thread_stress_mpa

ROWS = [
    (43, 80, 35, 161.9),
    (55, 64, 35, 197.8),
    (62, 64, 25, 125.3),
    (62, 64, 28, 140.4),
    (77, 55, 25, 136.7),
    (90, 48, 28, 171.9),
    (100, 40, 22, 175.1),
    (120, 34, 22, 201.9),
]


@pytest.mark.parametrize(("count", "thread", "tension", "stress"), ROWS)
def test_thread_stress(count: int, thread: int, tension: int, stress: float) -> None:
    assert thread_stress_mpa(tension, count, thread) == pytest.approx(stress, abs=0.06)
