"""Certified regressions of the NIST Statistical Reference Datasets.

Norris: https://www.itl.nist.gov/div898/strd/lls/data/LINKS/v-Norris.shtml. DanWood, Misra1a, MGH17
(power law and exponentials, as the laws that screens relax by in the trials): data files of
https://github.com/lmfit/lmfit-py NIST_STRD. Bennett5 (a power of log time, rated hard):
http://www.itl.nist.gov/div898/strd/nls/data/bennett5.shtml. The line is ours; the curved ones show
that the least-squares tool which other tests hold our fits against can be trusted.
"""

from collections.abc import Callable

import numpy as np
import pytest
from scipy.optimize import least_squares

from frames.mechanics.meter import line
from tests.reference.rows import rows


def data(name: str) -> tuple[np.ndarray, np.ndarray]:
    points = [(float(r["x"]), float(r["y"])) for r in rows("strd") if r["dataset"] == name]
    x, y = np.array(points).T
    return x, y


@pytest.mark.parametrize(
    ("name", "certified", "digits"),
    [
        ("intercept", -0.262323073774029, 1e-9),
        ("slope", 1.00211681802045, 1e-11),
        ("intercept_sd", 0.232818234301152, 1e-9),
        ("residual_sd", 0.884796396144373, 1e-9),
        ("r_squared", 0.999993745883712, 1e-12),
    ],
)
def test_norris(name: str, certified: float, digits: float) -> None:
    """The sd of the intercept is from memory."""
    assert getattr(line(*data("Norris")), name) == pytest.approx(certified, abs=digits)


LAWS: dict[str, tuple[Callable, list[float], list[float], float]] = {
    "DanWood": (
        lambda x, b: b[0] * x ** b[1],
        [0.7, 4],
        [7.6886226176e-01, 3.8604055871e00],
        4.3173084083e-03,
    ),
    "Misra1a": (
        lambda x, b: b[0] * (1 - np.exp(-b[1] * x)),
        [250, 0.0005],
        [2.3894212918e02, 5.5015643181e-04],
        1.2455138894e-01,
    ),
    "MGH17": (
        lambda x, b: b[0] + b[1] * np.exp(-x * b[3]) + b[2] * np.exp(-x * b[4]),
        [0.5, 1.5, -1, 0.01, 0.02],
        [
            3.7541005211e-01,
            1.9358469127e00,
            -1.4646871366e00,
            1.2867534640e-02,
            2.2122699662e-02,
        ],
        5.4648946975e-05,
    ),
    "Bennett5": (
        lambda x, b: b[0] * (b[1] + x) ** (-1 / b[2]),
        [-1500, 45, 0.85],
        [-2.5235058043e03, 4.6736564644e01, 9.3218483193e-01],
        5.2404744073e-04,
    ),
}


@pytest.mark.parametrize("name", LAWS)
def test_curved_laws(name: str) -> None:
    law, start, certified, squares = LAWS[name]
    x, y = data(name)
    # derivatives by complex steps: differences are too rough for six digits on every machine
    close = {"xtol": 1e-14, "ftol": 1e-14, "gtol": 1e-14}
    found = least_squares(lambda b: law(x, b) - y, start, jac="cs", x_scale=np.abs(start), **close)
    assert found.x == pytest.approx(certified, rel=1e-6)
    assert 2 * found.cost == pytest.approx(squares, rel=1e-6)
