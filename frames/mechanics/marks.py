"""Register marks: where they printed against where they should be; is the error real?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from frames.wording import mark, say, written

from .faults import InputFault, number

ALARM = 1e-4  # chance of calling pure scatter an error
EYE_MM = {"loupe": 0.05, "naked": 0.1}


@dataclass(frozen=True)
class Mark:
    """One register mark on one pull.

    Parameters
    ----------
    u, v : place as fractions of the inside of the frame
    dx_mm, dy_mm : where it printed minus where it should be, mm, frame axes
    sd_mm : how well it was measured

    >>> Mark(0.2, 0.5, 0.3, -0.1).dx_mm
    0.3
    """

    u: float
    v: float
    dx_mm: float
    dy_mm: float
    sd_mm: float = 0.05

    def __post_init__(self) -> None:
        number("u", self.u, 0, 1, "Enter the mark's place as a fraction along side A")
        number("v", self.v, 0, 1, "Enter the mark's place as a fraction away from side A")
        number("dx_mm", self.dx_mm, -20, 20, "Enter the error along side A in mm")
        number("dy_mm", self.dy_mm, -20, 20, "Enter the error away from side A in mm")
        number("sd_mm", self.sd_mm, 0.001, 5, "Enter how well the mark was measured, in mm")


@dataclass(frozen=True)
class Scatter:
    """Pulls put together.

    ``marks`` their means, each with the sd of its mean; ``pulls`` how many; ``pull_sd_mm`` sd of
    one pull, pooled over marks and both directions; None with a single pull; ``stray_mm`` how far
    the worst pull lies from its mean, along A or across.
    """

    marks: tuple[Mark, ...]
    pulls: int
    pull_sd_mm: float | None
    stray_mm: float = 0.0


def scatter(pulls: Sequence[Sequence[Mark]]) -> Scatter:
    """Mean marks and scatter of three to five pulls (one is taken as it is).

    Parameters
    ----------
    pulls : for each pull its marks, at the same places in the same order

    >>> s = scatter([[Mark(0.5, 0.5, 0.1, 0.0)], [Mark(0.5, 0.5, 0.3, 0.0)]])
    >>> round(s.marks[0].dx_mm, 3), round(s.pull_sd_mm, 3)
    (0.2, 0.1)
    """
    if not pulls or not pulls[0]:
        raise InputFault("pulls", "none", say("Enter the marks of at least one pull."))
    places = [(m.u, m.v) for m in pulls[0]]
    if any([(m.u, m.v) for m in pull] != places for pull in pulls):
        apart = say("different places")
        raise InputFault("pulls", apart, say("Measure the same marks on every pull."))
    if len(pulls) == 1:
        return Scatter(tuple(pulls[0]), 1, None)
    values = np.array([[(m.dx_mm, m.dy_mm) for m in pull] for pull in pulls])
    n = len(pulls)
    sd = float(np.sqrt(values.var(axis=0, ddof=1).mean()))
    measured = float(np.mean([m.sd_mm for m in pulls[0]]))
    of_mean = max(sd, measured) / np.sqrt(n)
    means = values.mean(axis=0)
    marks = tuple(
        Mark(u, v, float(dx), float(dy), float(of_mean))
        for (u, v), (dx, dy) in zip(places, means, strict=True)
    )
    return Scatter(marks, n, sd, float(np.abs(values - means).max()))


@dataclass(frozen=True)
class Significance:
    """Whether an error is worth acting on: ``verdict`` ``"real"``, ``"scatter"`` or ``"small"``;
    ``rms_mm`` of the mean marks; ``chance`` that pure scatter looks as bad; ``message``."""

    verdict: str
    rms_mm: float
    chance: float
    message: str


def significance(taken: Scatter, tolerance_mm: float, eye: str = "loupe") -> Significance:
    """Is it real? Against the scatter of the pulls, the tolerance, and what the eye can tell.

    F test of the means against the scatter (chi-square against ``sd_mm`` with a single pull), at a
    chance of 1 in 10,000; and the error must exceed the scatter of single pulls. Means within
    tolerance are scatter all the same where single pulls stray out of it, further than the means.

    >>> taken = scatter([[Mark(0.2, 0.2, 0.04, 0.0)], [Mark(0.2, 0.2, 0.05, 0.0)]])
    >>> significance(taken, tolerance_mm=0.1).verdict
    'small'
    """
    from scipy.stats import chi2, f

    number("tolerance_mm", tolerance_mm, 0.005, 10, "Enter the register tolerance in mm")
    errors = np.array([(m.dx_mm, m.dy_mm) for m in taken.marks])
    rms = float(np.sqrt((errors**2).sum(axis=1).mean()))
    worst = float(np.abs(errors).max())
    sd, n, k = taken.pull_sd_mm, taken.pulls, errors.size
    if sd is None:
        sds = np.array([m.sd_mm for m in taken.marks])[:, None]
        chance, noise = float(chi2.sf(((errors / sds) ** 2).sum(), k)), 0.0
    else:
        ratio = n * (errors**2).mean() / max(sd, 1e-6) ** 2
        chance, noise = float(f.sf(ratio, k, k * (n - 1))), sd
    limit, stray = max(tolerance_mm, EYE_MM.get(eye, 0.05)), taken.stray_mm
    strays = stray > worst and worst + stray > limit
    if worst <= limit and not strays:
        text = say("Within tolerance: worst {0} mm. Leave it alone.", written(worst, ".2f"))
        return Significance("small", rms, chance, text)
    if worst <= limit or chance > ALARM or rms <= noise:
        text = say(
            "The pulls scatter as much as the error: look at lays, clamps and feed, not at bolts."
        )
        return Significance("scatter", rms, chance, text)
    real = mark("The error is real: {0} mm.")
    alone = mark("The error is real: {0} mm. Take three pulls to be sure.")
    text = say(real if n > 1 else alone, written(rms, ".2f"))
    return Significance("real", rms, chance, text)
