"""A beam by cubic Hermite elements: the bar as the membrane model carries it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True)
class BeamAnswer:
    """``deflection`` (n,) and ``slope`` (n,) at the nodes; ``moment`` (n,) EI w'', in
    force x length; ``reaction`` force of each support on the beam by node, positive along
    deflection."""

    deflection: np.ndarray
    slope: np.ndarray
    moment: np.ndarray
    reaction: Mapping[int, float]


def hermite(nodes: np.ndarray, ei: float, foundation: float = 0.0) -> object:
    """Stiffness (2n, 2n), sparse, of a free Euler-Bernoulli beam; deflection, slope at each node.

    Parameters
    ----------
    nodes : (n,) rising places
    ei : bending stiffness, force x length^2
    foundation : force per length per deflection (Winkler), 0 for none
    """
    from skfem import Basis, BilinearForm, ElementLineHermite, MeshLine
    from skfem.helpers import dd, ddot

    basis = Basis(MeshLine(np.asarray(nodes, float)), ElementLineHermite(), intorder=6)
    return BilinearForm(
        lambda u, v, _: ei * ddot(dd(u), dd(v)) + foundation * u * v,
    ).assemble(basis)


def hermite_weights(nodes: np.ndarray, at: np.ndarray) -> np.ndarray:
    """Deflection at ``at`` from nodal deflections and slopes, (len(at), 2n).

    >>> hermite_weights(np.array([0.0, 2.0]), np.array([1.0])).round(2)
    array([[ 0.5 ,  0.25,  0.5 , -0.25]])
    """
    cell = np.clip(np.searchsorted(nodes, at, side="right") - 1, 0, len(nodes) - 2)
    h = np.diff(nodes)[cell]
    t = (at - nodes[cell]) / h
    shapes = (
        1 - 3 * t**2 + 2 * t**3,
        h * (t - 2 * t**2 + t**3),
        3 * t**2 - 2 * t**3,
        h * (t**3 - t**2),
    )
    out = np.zeros((len(at), 2 * len(nodes)))
    for i, value in enumerate(shapes):
        out[np.arange(len(at)), 2 * cell + i] = value
    return out


def bend(
    nodes: np.ndarray,
    ei: float,
    supports: Mapping[int, float] | None = None,
    springs: Mapping[int, float] | None = None,
    point_loads: Mapping[int, float] | None = None,
    line_load: float = 0.0,
    foundation: float = 0.0,
) -> BeamAnswer:
    """Linear beam on rigid (possibly settled) supports, springs and a Winkler foundation.

    Parameters
    ----------
    nodes : (n,) rising places
    ei : bending stiffness, force x length^2
    supports : node -> prescribed deflection
    springs : node -> stiffness, force per length
    point_loads : node -> force, positive along deflection
    line_load : uniform load, force per length, consistent nodal loads
    foundation : Winkler stiffness, force per length per deflection

    >>> mid = bend(np.linspace(0, 1000, 5), 69000 * 88281.25, {0: 0, 4: 0}, line_load=2.5)
    >>> round(float(mid.deflection[2]), 4)  # 5 w L^4 / 384 EI
    5.3439
    """
    from scipy.sparse.linalg import spsolve

    nodes = np.asarray(nodes, float)
    k = hermite(nodes, ei, foundation).tolil()
    for node, stiffness in (springs or {}).items():
        k[2 * node, 2 * node] += stiffness
    k, f = k.tocsr(), _line(nodes, line_load)
    for node, force in (point_loads or {}).items():
        f[2 * node] += force
    fixed = np.array([2 * i for i in supports or {}], dtype=int)
    free = np.setdiff1d(np.arange(len(f)), fixed)
    x = np.zeros(len(f))
    x[fixed] = list((supports or {}).values())
    x[free] = spsolve(k[free][:, free].tocsc(), f[free] - k[free][:, fixed] @ x[fixed])
    pushed = (k @ x - f)[fixed]
    reaction = dict(zip(supports or {}, map(float, pushed), strict=True))
    return BeamAnswer(x[::2], x[1::2], _moment(nodes, ei, x, line_load, foundation), reaction)


def _line(nodes: np.ndarray, q: float) -> np.ndarray:
    f = np.zeros(2 * len(nodes))
    for i, h in enumerate(np.diff(nodes)):
        f[2 * i : 2 * i + 4] += q * np.array([h / 2, h**2 / 12, h / 2, -(h**2) / 12])
    return f


def _moment(nodes: np.ndarray, ei: float, x: np.ndarray, q: float, k: float) -> np.ndarray:
    """Nodal moments from element end forces, exact where the load is; mean of both neighbours."""
    left, right = np.full(len(nodes), np.nan), np.full(len(nodes), np.nan)
    elements: dict[float, np.ndarray] = {}
    for i, h in enumerate(np.diff(nodes).round(12)):
        if h not in elements:
            elements[h] = hermite(np.array([0.0, h]), ei, k).toarray()
        end = elements[h] @ x[2 * i : 2 * i + 4] - _line(nodes[i : i + 2], q)
        left[i + 1], right[i] = end[3], -end[1]
    return np.nanmean(np.stack([left, right]), axis=0)
