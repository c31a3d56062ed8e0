"""Stiffness and register factors learned from what turns were predicted to do and did."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from .faults import number, one_of

QUANTITIES = ("x", "y", "register")
# shop, mesh within shop, frame within mesh: together sd 0.25 around 1
LEVEL_SD = (0.15, 0.15, 0.13)


@dataclass(frozen=True)
class Observation:
    """One change, predicted with factor 1 and observed.

    Parameters
    ----------
    frame, mesh : which; any hashable name
    quantity : ``"x"``, ``"y"`` (tension, N/cm) or ``"register"`` (movement, mm)
    predicted, observed : the change, in the quantity's unit
    sd : standard deviation of the observed change, same unit
    coated : emulsion on; kept apart from bare mesh

    >>> Observation("F1", "90-48", "x", 2.0, 1.4, 0.5).quantity
    'x'
    """

    frame: str
    mesh: str
    quantity: str
    predicted: float
    observed: float
    sd: float
    coated: bool = False

    def __post_init__(self) -> None:
        one_of("quantity", self.quantity, QUANTITIES, "Choose the quantity")
        number("predicted", self.predicted, -200, 200, "Enter the predicted change")
        number("observed", self.observed, -200, 200, "Enter the observed change")
        number("sd", self.sd, 1e-4, 100, "Enter how well the change was observed")


@dataclass(frozen=True)
class Factor:
    """A factor: ``mean`` and ``sd``; ``count`` observations of this very frame and mesh."""

    mean: float
    sd: float
    count: int


def learn(
    observations: Sequence[Observation],
    frame: str,
    mesh: str,
    quantity: str,
    coated: bool = False,
) -> Factor:
    """Factor of a frame and mesh, shrunk towards the mesh's on all frames, then the shop's.

    Bayesian linear regression observed = factor x predicted + noise, with factor = 1 + shop + mesh
    + frame effects, each normal around zero with sd `LEVEL_SD`: prior mean 1, sd 0.25. Exact
    posterior; bare and coated apart.

    >>> seen = [Observation("F1", "90-48", "x", 3.0, 1.8, 0.3)] * 10
    >>> round(learn(seen, "F1", "90-48", "x").mean, 2)
    0.61
    >>> round(learn(seen, "F2", "90-48", "x").mean, 2), learn([], "F2", "90-48", "x").sd
    (0.71, 0.25)
    """
    one_of("quantity", quantity, QUANTITIES, "Choose the quantity")
    used = [o for o in observations if o.quantity == quantity and o.coated == coated]
    prior = prior_sd() ** 2
    if not used:
        return Factor(1.0, round(prior_sd(), 2), 0)
    p = np.array([o.predicted for o in used])
    gap = np.array([o.observed for o in used]) - p
    noise = np.diag([o.sd**2 for o in used])
    keys = [(o.mesh, o.frame) for o in used]
    shared = _all_shared(keys)
    mine = np.array([_shared(k, (mesh, frame)) for k in keys]) * p
    inner = shared * np.outer(p, p) + noise
    weights = np.linalg.solve(inner, np.stack([gap, mine], axis=1))
    mean, variance = 1 + mine @ weights[:, 0], prior - mine @ weights[:, 1]
    count = sum(k == (mesh, frame) for k in keys)
    return Factor(float(mean), float(np.sqrt(max(variance, 1e-12))), count)


def prior_sd() -> float:
    """Standard deviation of a factor before anything was observed.

    >>> round(prior_sd(), 2)
    0.25
    """
    return float(np.sqrt(sum(sd**2 for sd in LEVEL_SD)))


def _all_shared(keys: Sequence[tuple[str, str]]) -> np.ndarray:
    """`_shared` of every pair, (n, n)."""
    shop, mesh, frame = (sd**2 for sd in LEVEL_SD)
    pairs = {key: i for i, key in enumerate(dict.fromkeys(keys))}
    meshes = {cloth: i for i, cloth in enumerate(dict.fromkeys(cloth for cloth, _ in keys))}
    own = np.array([pairs[key] for key in keys])
    cloth = np.array([meshes[key[0]] for key in keys])
    return shop + mesh * (cloth[:, None] == cloth) + frame * (own[:, None] == own)


def _shared(a: tuple[str, str], b: tuple[str, str]) -> float:
    """Prior covariance of two factors: shop always, mesh if the same, frame if that too."""
    shop, mesh, frame = (sd**2 for sd in LEVEL_SD)
    return shop + mesh * (a[0] == b[0]) + frame * (a == b)


def predict_change(factor: Factor, predicted: float, sd: float) -> tuple[float, float, float]:
    """Expected change and its 90 % band (low, high), meter noise included.

    Parameters
    ----------
    factor : see `learn`
    predicted : change predicted with factor 1
    sd : standard deviation of an observed change, same unit

    >>> predict_change(Factor(0.8, 0.0, 9), 2.0, 0.5)
    (1.6, 0.7775, 2.4225)
    """
    half = 1.645 * float(np.hypot(factor.sd * predicted, sd))
    mean = factor.mean * predicted
    return round(mean, 9), round(mean - half, 9), round(mean + half, 9)
