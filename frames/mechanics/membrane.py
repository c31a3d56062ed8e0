"""The membrane model: finite elements with shear, pre-stress, elastic bars and one-way bolts.

The reference the strip model is checked against; for the server, not the phone.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from .beam import hermite, hermite_weights
from .cloth import Mesh
from .contact import Settled, settle
from .faults import number
from .layout import OUTWARD, SIDES, Layout, as_places
from .strip import bar_bending

SHEAR_FLOOR = 1e-6  # of sqrt(Ex Ey): keeps free corner threads solvable, far below any real shear
Slack = Callable[[np.ndarray], np.ndarray]


@dataclass(frozen=True)
class Membrane:
    """Plane-stress orthotropic membrane in force per width, tied to bars, bars held at their bolts.

    ``[Nx, Ny, Nxy] = D [ex - e0x, ey - e0y, gxy]`` plus the pre-stress term N0 grad(u):grad(v);
    Euler-Bernoulli bars with free ends; the locked edge slides freely along its bar and ends
    ``lock_gap_mm`` short of the corners, beyond which the edge is free. Small strains; wrinkling
    and crimp interchange are not modelled.

    Parameters
    ----------
    layout, mesh : the frame and its mesh
    prestress_n_per_cm : tension the influence is taken at, N/cm
    divisions : elements along the longer locked side (quadratic, so half the node spacing)

    >>> frame, mesh = Layout.evenly(600, 500, 4, 3), Mesh(1000, 900)
    >>> Membrane(frame, mesh, divisions=8).tension([(0.5, 0.5)]).shape
    (1, 2, 14)
    """

    layout: Layout
    mesh: Mesh
    prestress_n_per_cm: float = 15.0
    divisions: int = 20
    name: str = field(default="membrane", init=False)

    def __post_init__(self) -> None:
        number("prestress_n_per_cm", self.prestress_n_per_cm, 0, 150, "Enter the tension in N/cm")
        number("divisions", self.divisions, 2, 200, "Enter the number of elements")

    @cached_property
    def basis(self) -> object:
        """Scalar quadratic basis on the inside of the frame; ux and uy each use it once."""
        from skfem import Basis, ElementQuad2, MeshQuad

        lines = [self._lines(self.layout.length_mm(s)) for s in "AB"]
        return Basis(MeshQuad.init_tensor(*lines), ElementQuad2())

    def _lines(self, length: float) -> np.ndarray:
        """Grid lines along a side: the lock ends are always among them."""
        gap = min(self.layout.bar.lock_gap_mm, length / 4)
        longest = max(self.layout.inside_a_mm, self.layout.inside_b_mm)
        n = max(2, round(self.divisions * length / longest))
        inner = np.linspace(gap, length - gap, n + 1)
        return np.unique(np.concatenate([[0], inner, [length]])) if gap > 0 else inner

    @cached_property
    def elastic(self) -> object:
        """Stiffness of the mesh alone, sparse (2N, 2N), N/mm: ux then uy."""
        from scipy.sparse import bmat
        from skfem import BilinearForm
        from skfem.helpers import grad

        (d11, d12), (_, d22) = (np.array(self.mesh.stiffness) / 10).tolist()
        floor = SHEAR_FLOOR * np.sqrt(self.mesh.ex_n_per_cm * self.mesh.ey_n_per_cm)
        g = max(self.mesh.shear_n_per_cm, floor) / 10
        n0 = self.prestress_n_per_cm / 10

        def stretch(along: float, across: float) -> object:
            return BilinearForm(
                lambda u, v, _: (
                    (along + n0) * grad(u)[0] * grad(v)[0] + (across + n0) * grad(u)[1] * grad(v)[1]
                )
            ).assemble(self.basis)

        mixed = BilinearForm(
            lambda u, v, _: d12 * grad(u)[1] * grad(v)[0] + g * grad(u)[0] * grad(v)[1]
        ).assemble(self.basis)
        return bmat([[stretch(d11, g), mixed], [mixed.T, stretch(g, d22)]]).tocsr()

    @cached_property
    def _bars(self) -> dict[str, np.ndarray]:
        """Bar nodes of each side, mm: bolts, lock ends and a spacing like the membrane's."""
        out = {}
        for side in SIDES:
            lines = self._lines(self.layout.length_mm(side))
            gap = self.layout.bar.lock_gap_mm > 0
            locked = lines[1:-1] if gap else lines
            bolts = self.layout.along(side)
            merged = [*bolts, *(s for s in locked if not len(bolts) or abs(bolts - s).min() > 1e-6)]
            out[side] = np.sort(np.array(merged))
        return out

    @cached_property
    def _tie(self) -> object:
        """Sparse map from the unknowns (mesh nodes not tied, then bars) to mesh displacements."""
        from scipy.sparse import csr_array, eye_array, hstack

        x, y = self.basis.doflocs
        n = len(x)
        tied, blocks = np.zeros(2 * n, bool), []
        for side in SIDES:
            sign, axis = OUTWARD[side]
            level = {"A": 0.0, "B": self.layout.inside_a_mm, "C": self.layout.inside_b_mm, "D": 0.0}
            across, along = (y, x) if axis else (x, y)
            nodes = self._bars[side]
            lock = self._lines(self.layout.length_mm(side))
            lock = lock[1:-1] if self.layout.bar.lock_gap_mm > 0 else lock
            on = np.abs(across - level[side]) < 1e-6
            on &= (along >= lock[0] - 1e-6) & (along <= lock[-1] + 1e-6)
            at = np.flatnonzero(on)
            dense = sign * hermite_weights(nodes, along[at])
            rows, cols = np.nonzero(dense)
            shape = (2 * n, 2 * len(nodes))
            blocks.append(csr_array((dense[rows, cols], (at[rows] + axis * n, cols)), shape=shape))
            tied[at + axis * n] = True
        keep = eye_array(2 * n, format="csr")[:, np.flatnonzero(~tied)]
        return hstack([keep, *blocks]).tocsr()

    @cached_property
    def _system(self) -> tuple[object, np.ndarray, np.ndarray]:
        """Reduced stiffness, and the indices of bolt deflections and of all other unknowns."""
        from scipy.sparse import block_diag, csr_array

        mesh_free = self._tie.shape[1] - sum(2 * len(self._bars[s]) for s in SIDES)
        bars = [hermite(self._bars[s], self.layout.bar.ei_n_mm2) for s in SIDES]
        still = block_diag([csr_array((mesh_free, mesh_free)), *bars]).tocsr()
        k = (self._tie.T @ self.elastic @ self._tie + still).tocsc()
        bolts, start = [], mesh_free
        for side in SIDES:
            where = np.searchsorted(self._bars[side], self.layout.along(side))
            bolts.extend(start + 2 * where)
            start += 2 * len(self._bars[side])
        bolts = np.array(bolts, dtype=int)
        return k, bolts, np.setdiff1d(np.arange(k.shape[0]), bolts)

    @cached_property
    def _factor(self) -> object:
        from scipy.sparse.linalg import splu

        k, _, other = self._system
        return splu(k[other][:, other].tocsc())

    @cached_property
    def _modes(self) -> np.ndarray:
        """Mesh displacements (2N, bolts), mm per mm of bar position at each bolt."""
        k, bolts, other = self._system
        full = np.zeros((k.shape[0], len(bolts)))
        full[bolts, np.arange(len(bolts))] = 1
        full[other] = -self._factor.solve(k[other][:, bolts].toarray())
        return full

    @cached_property
    def stiffness(self) -> np.ndarray:
        """(bolts, bolts), N/mm: bolt forces per mm of bar position, mesh and bars together."""
        k, bolts, _ = self._system
        return k[bolts] @ self._modes

    @cached_property
    def bending(self) -> np.ndarray:
        """(bolts, bolts), N/mm: bending stiffness of the bare bars at their bolts."""
        return bar_bending(self.layout)

    @cached_property
    def _recover(self) -> tuple[object, object, object, object]:
        """Bilinear basis for tensions, its factored mass matrix, and d/dx, d/dy projections."""
        from scipy.sparse.linalg import splu
        from skfem import BilinearForm, ElementQuad1
        from skfem.helpers import grad

        smooth = self.basis.with_element(ElementQuad1())
        mass = splu(BilinearForm(lambda u, v, _: u * v).assemble(smooth).tocsc())
        slopes = [
            BilinearForm(lambda u, v, _, i=i: grad(u)[i] * v).assemble(self.basis, smooth)
            for i in (0, 1)
        ]
        return smooth, mass, *slopes

    def _tension_of(self, u: np.ndarray, slack: Slack | None = None) -> np.ndarray:
        """Nodal tensions (2, nodes, columns), N/cm, of mesh displacements (2N, columns)."""
        smooth, mass, dx, dy = self._recover
        n = self.basis.N
        strain = np.stack([mass.solve(np.asarray(dx @ u[:n])), mass.solve(np.asarray(dy @ u[n:]))])
        if slack is not None:
            strain = strain - self._slack_at(slack, smooth.doflocs).T[:, :, None]
        return np.einsum("ij,jnk->ink", np.array(self.mesh.stiffness), strain)

    def _slack_at(self, slack: Slack, where: np.ndarray) -> np.ndarray:
        size = np.array([[self.layout.inside_a_mm], [self.layout.inside_b_mm]])
        return np.asarray(slack(np.clip(where / size, 0, 1).T))

    def tension(self, places: object) -> np.ndarray:
        """Change of tension per mm of bar position, (n, 2, bolts), N/cm per mm: x then y."""
        nodal = self._tension_of(self._modes_of_mesh)
        probe = self._recover[0].probes(self._mm(places))
        return np.stack([probe @ nodal[0], probe @ nodal[1]], axis=1)

    @cached_property
    def _modes_of_mesh(self) -> np.ndarray:
        return self._tie @ self._modes

    def displacement(self, places: object) -> np.ndarray:
        """Displacement per mm of bar position, (n, 2, bolts), mm per mm, in frame axes."""
        n, u = self.basis.N, self._modes_of_mesh
        probe = self.basis.probes(self._mm(places))
        return np.stack([probe @ u[:n], probe @ u[n:]], axis=1)

    def _mm(self, places: object) -> np.ndarray:
        at = as_places(places).T * [[self.layout.inside_a_mm], [self.layout.inside_b_mm]]
        return at

    def settle(
        self, draw_mm: np.ndarray, slack: Slack, held: np.ndarray | None = None
    ) -> tuple[Settled, Callable[[object], np.ndarray]]:
        """Bars at rest on one-way bolts with the piece locked in unevenly.

        Parameters
        ----------
        draw_mm : (bolts,) where each bolt stops its bar, mm outward
        slack : callable, places (n, 2) -> strain (n, 2) at which the mesh would carry nothing;
            negative where it is tight with the bars at zero
        held : (bolts,) bool, False for a broken bolt

        Returns
        -------
        settled : see `contact.settle`
        tension : callable, places -> (n, 2) N/cm
        """
        k, bolts, other = self._system
        load = self._tie.T @ self._slack_load(slack)
        at_rest = self._factor.solve(load[other])
        pull = k[bolts][:, other] @ at_rest - load[bolts]
        rest = settle(self.stiffness, pull, draw_mm, self.layout.names, held)
        q = self._modes @ rest.bar_mm
        q[other] += at_rest
        nodal = self._tension_of((self._tie @ q)[:, None], slack)[:, :, 0]

        def tension(places: object) -> np.ndarray:
            probe = self._recover[0].probes(self._mm(places))
            return np.stack([probe @ nodal[0], probe @ nodal[1]], axis=1)

        return rest, tension

    def _slack_load(self, slack: Slack) -> np.ndarray:
        from skfem import LinearForm
        from skfem.helpers import grad

        d = np.array(self.mesh.stiffness) / 10
        cells, points = self.basis.dx.shape
        where = np.asarray(self.basis.global_coordinates()).reshape(2, -1)
        strain = self._slack_at(slack, where).T
        nx, ny = (d @ strain).reshape(2, cells, points)
        fx = LinearForm(lambda v, w: w["n"] * grad(v)[0]).assemble(self.basis, n=nx)
        fy = LinearForm(lambda v, w: w["n"] * grad(v)[1]).assemble(self.basis, n=ny)
        return np.concatenate([fx, fy])
