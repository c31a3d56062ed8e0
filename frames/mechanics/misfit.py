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

    Sd of shift (mm), of rotation, stretch and skew (mm per m), of what is left (mm), and over which
    part of the frame that changes.
    """

    shift_mm: float = 2.0
    affine_mm_per_m: float = 1.0
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
    prior = np.diag(np.array([rough.shift_mm] * 2 + [rough.affine_mm_per_m] * 4) ** 2)
    a, b = affine_rows(layout, here), affine_rows(layout, there)
    among = a @ prior @ a.T + _local(here, here, rough)
    sd = np.tile([m.sd_mm for m in marks], 2)
    value = np.array([m.dx_mm for m in marks] + [m.dy_mm for m in marks])
    weights = np.linalg.solve(among + np.diag(sd**2), value)
    return ((b @ prior @ a.T + _local(there, here, rough)) @ weights).reshape(2, -1).T


def _local(p: np.ndarray, q: np.ndarray, rough: Roughness) -> np.ndarray:
    """Covariance (2n, 2m) of the smooth local part; the two directions are independent."""
    squared = ((p[:, None] - q[None]) ** 2).sum(axis=2)
    return np.kron(np.eye(2), rough.local_mm**2 * np.exp(-squared / (2 * rough.reach**2)))
