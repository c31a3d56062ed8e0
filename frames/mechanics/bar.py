"""The floating bar: its shape through the bolts, what bending it costs, and a beam on anything."""

from __future__ import annotations

from functools import lru_cache

import numpy as np


def shape_weights(bolts_mm: np.ndarray, at_mm: np.ndarray) -> np.ndarray:
    """Weights (n, k) that turn bolt positions into the bar's position at ``at_mm``.

    A beam held at k points and otherwise unloaded is the natural cubic spline through them,
    straight beyond the outer two. One bolt carries the bar without tilting it; without a bolt it
    stays where it is.

    >>> shape_weights(np.array([0.0, 100.0]), np.array([150.0])).round(3)
    array([[-0.5,  1.5]])
    """
    if len(bolts_mm) < 2:
        return np.ones((len(at_mm), len(bolts_mm)))
    return _weights(tuple(bolts_mm), np.asarray(at_mm, float).tobytes())


@lru_cache(maxsize=512)
def _weights(bolts_mm: tuple[float, ...], at: bytes) -> np.ndarray:
    """`shape_weights`, kept: a plan asks some thirty times for the same few places."""
    at_mm = np.frombuffer(at)
    order, spline = _spline(bolts_mm)
    inside = np.clip(at_mm, min(bolts_mm), max(bolts_mm))
    weights = spline(inside) + (at_mm - inside)[:, None] * spline(inside, 1)
    weights = weights[:, np.argsort(order)]
    weights.flags.writeable = False
    return weights


def bending_matrix(bolts_mm: np.ndarray, ei_n_mm2: float) -> np.ndarray:
    """Matrix K (k, k), N/mm, such that 1/2 w'Kw is the bar's bending energy at bolt positions w.

    K w are the forces that hold the bar in that shape. Curvature of the natural spline is linear
    between bolts, so the integral EI w''^2 is exact.

    >>> k = bending_matrix(np.array([0.0, 100.0, 200.0]), 69000 * 20000)
    >>> round(k[1, 1] * 0.353)  # outer supports level, centre moved: 6 EI d / L^3
    2923
    """
    k = len(bolts_mm)
    if k < 3:
        return np.zeros((k, k))
    order, spline = _spline(tuple(bolts_mm))
    x = bolts_mm[order]
    curvature = spline(x, 2)
    step = np.diff(x)
    mass = np.zeros((k, k))
    for i, h in enumerate(step):
        mass[i : i + 2, i : i + 2] += h / 6 * np.array([[2, 1], [1, 2]])
    back = np.argsort(order)
    energy = ei_n_mm2 * curvature.T @ mass @ curvature
    return energy[np.ix_(back, back)]


@lru_cache(maxsize=256)
def _spline(bolts_mm: tuple[float, ...]) -> tuple[np.ndarray, object]:
    from scipy.interpolate import CubicSpline

    x = np.array(bolts_mm)
    order = np.argsort(x)
    if len(x) == 2:
        return order, _Line(*x[order])
    return order, CubicSpline(x[order], np.eye(len(x)), bc_type="natural")


class _Line:
    """The straight bar on two bolts, called like a spline."""

    def __init__(self, x0: float, x1: float) -> None:
        self.x0, self.length = x0, x1 - x0

    def __call__(self, x: np.ndarray, derivative: int = 0) -> np.ndarray:
        t = (np.asarray(x) - self.x0) / self.length
        if derivative:
            flat = np.full_like(t, 1 / self.length if derivative == 1 else 0.0)
            return np.stack([-flat, flat], axis=-1)
        return np.stack([1 - t, t], axis=-1)
