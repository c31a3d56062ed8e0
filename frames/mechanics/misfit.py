"""The register error between the marks: what is most likely elsewhere on the image."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from .decomposition import affine_rows
from .layout import Layout, as_places
from .marks import Mark


@dataclass(frozen=True)
class Roughness:
    """What is believed of register errors before any mark.

    All in terms of the size of the error seen, beyond what the measurement scatters: sd of shift,
    of what rotation, stretch and skew do half a frame away, and of the smooth local part, which is
    at most ``local_mm`` and changes over ``reach`` of the frame. So marks that show little but
    scatter are believed little.
    """

    shift: float = 2.0
    affine: float = 2.0
    local: float = 0.5
    local_mm: float = 0.08
    reach: float = 0.35


def expected_error(
    layout: Layout, marks: Sequence[Mark], places: object, roughness: Roughness | None = None
) -> np.ndarray:
    """Most likely error (n, 2), mm, at places, given the marks.

    Linear Gaussian estimate: shift, rotation, stretch and skew with wide priors plus a smooth local
    part per direction; near the marks it follows them, far away it falls back to the affine part.

    >>> frame = Layout.evenly(1000, 1000, 5, 5)
    >>> expected_error(frame, [Mark(0.5, 0.5, 0.3, 0.0)], [(0.5, 0.5)]).round(2)
    array([[0.3, 0. ]])
    """
    rough = roughness or Roughness()
    here, there = as_places([(m.u, m.v) for m in marks]), as_places(places)
    value = np.array([m.dx_mm for m in marks] + [m.dy_mm for m in marks])
    sd = np.tile([m.sd_mm for m in marks], 2)
    size = _size(value, sd)
    half_m = (layout.inside_a_mm + layout.inside_b_mm) / 4000
    prior = np.diag(size**2 * np.array([rough.shift] * 2 + [rough.affine / half_m] * 4) ** 2)
    local = min(rough.local_mm, rough.local * size)
    a, b = affine_rows(layout, here), affine_rows(layout, there)
    among = a @ prior @ a.T + _local(here, here, local, rough.reach)
    weights = np.linalg.solve(among + np.diag(sd**2), value)
    across = b @ prior @ a.T + _local(there, here, local, rough.reach)
    return (across @ weights).reshape(2, -1).T


def _size(value: np.ndarray, sd: np.ndarray) -> float:
    """Root mean square of the errors, mm, less what their measurement alone would show."""
    noise = float(np.mean(sd**2))
    return float(np.sqrt(max(np.mean(value**2) - noise, 0.1 * noise)))


def _local(p: np.ndarray, q: np.ndarray, sd: float, reach: float) -> np.ndarray:
    """Covariance (2n, 2m) of the smooth local part; the two directions are independent."""
    squared = ((p[:, None] - q[None]) ** 2).sum(axis=2)
    return np.kron(np.eye(2), sd**2 * np.exp(-squared / (2 * reach**2)))
