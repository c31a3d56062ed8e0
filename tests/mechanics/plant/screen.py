"""The plant: one seeded screen that can be read, turned and left to rest."""

from collections.abc import Mapping, Sequence
from copy import deepcopy
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from .balance import Frame
from .cloth import Cloth, uneven
from .grid import build
from .layouts import Layout
from .meter import Patches, hats, shown
from .net import Net

Floats = NDArray[np.float64]
Places = Sequence[tuple[float, float]]
NOMINAL_EA_N_PER_MM = 109.0  # what the mesh card would make one expect, both directions
RIGIDITY_N_MM2 = {"plain_u": 3e8, "ribbed_u": 6e8, "boxed_u": 1.2e9}
LOOSE_N = 0.5


@dataclass(frozen=True)
class Traits:
    """What the seed decides about a screen. N, mm; shares are of one.

    `rough` 1: jitter from thread to thread, slipped threads, drift that turns within a third of
    the span; 0: none of these, drift over half a span or more only.
    """

    ex: float
    ey: float
    poisson: float
    shear_share: float
    crimp_share: float
    crimp_strain: float
    unevenness: float
    rough: float
    lock_short_mm: float
    rigidity_share: float
    grip: float
    set_jitter_mm: float
    creep: float
    wrench_error: float


def drawn(rng: np.random.Generator) -> Traits:
    """Stiffness off by up to 40 % in each direction, the rest over ranges met in shops
    (common practice, no source)."""
    return Traits(
        ex=NOMINAL_EA_N_PER_MM * rng.uniform(0.6, 1.4),
        ey=NOMINAL_EA_N_PER_MM * rng.uniform(0.6, 1.4),
        poisson=rng.uniform(0.0, 0.2),
        shear_share=rng.uniform(0.002, 0.01),
        crimp_share=rng.uniform(0.15, 0.35),
        crimp_strain=rng.uniform(0.004, 0.008),
        unevenness=rng.uniform(0.1, 0.22),
        rough=1.0,
        lock_short_mm=rng.uniform(20.0, 45.0),
        rigidity_share=rng.uniform(0.7, 1.3),
        grip=rng.uniform(0.0, 0.002),
        set_jitter_mm=0.12,
        creep=rng.uniform(0.03, 0.07),
        wrench_error=0.05,
    )


class Plant:
    """One screen. Tension N/cm, lengths mm, places as fractions (u, v) of the inside.

    `overrides` replace traits of `Traits` by name. Bolts in `fixed` (seized, hidden under a
    clamp) hold what they hold and cannot be turned.
    """

    def __init__(
        self,
        seed: int,
        layout: Layout,
        start_n_per_cm: float = 6.0,
        fixed: frozenset[str] = frozenset(),
        cells: float = 1.0,
        **overrides: Any,
    ) -> None:
        self._rng = np.random.default_rng([seed, len(layout.names)])
        self.layout, self.fixed = layout, frozenset(fixed)
        self.traits = replace(drawn(self._rng), **overrides)
        self._grid = build(layout, self.traits.lock_short_mm, cells)
        self._cloth = self._weave()
        self._rests = 0
        slack = self._slack()
        self._jitter = self.traits.set_jitter_mm * self._rng.standard_normal(len(layout.names))
        self._lock_in(slack, start_n_per_cm / 10)
        self._exposed = self._flat.copy()

    # -- what a person does ---------------------------------------------------
    def read(self, places: Places) -> list[tuple[float, float]]:
        """Meter readings (along A, across A) at each place, with noise, in half newtons."""
        return [(float(x), float(y)) for x, y in shown(self.tension_at(places), self._rng)]

    def turn(self, turns: Mapping[str, float]) -> None:
        """Turn bolts (whole turns, + tightens); each is off by the wrench error."""
        stuck = self.fixed & {name for name, value in turns.items() if value}
        if stuck:
            raise ValueError(f"turns: {', '.join(sorted(stuck))} cannot be turned")
        for name, value in turns.items():
            wrench = 1 + self.traits.wrench_error * self._rng.standard_normal()
            self._draws[self._index(name)] += value * wrench * self.layout.pitch_mm
        self._settle()

    def loose(self) -> list[str]:
        """Bolts that bear no load."""
        pulls = self.pulls()
        return [name for name in self.layout.names if pulls[name] < LOOSE_N]

    def nip_up(self) -> dict[str, float]:
        """Take up every loose bolt until it just bears; the turns that took."""
        stand_out = self._frame.bolts.stand_out(self._flat)
        taken = {}
        for name in self.loose():
            at = self._index(name)
            slack = stand_out[at] - self._draws[at]
            if name not in self.fixed and slack > 0:
                self._draws[at] = stand_out[at]
                taken[name] = float(slack / self.layout.pitch_mm)
        return taken

    def rest(self) -> None:
        """The wait between rounds: threads give way by a share of their stretch, less each time."""
        share = max(self.traits.creep * 0.6**self._rests, 0.008)
        self._rests += 1
        for axis in (0, 1):
            strain = self._net.threads(self._frame.shaped(self._flat), axis).strain
            vary = 1 + 0.15 * self._rng.standard_normal(strain.shape[1 - axis])
            vary = vary[None, :] if axis == 0 else vary[:, None]
            self._net.prestrain[axis] = self._net.prestrain[axis] - share * vary * np.maximum(
                strain, 0.0
            )
        self._settle()

    def expose(self) -> None:
        """Put the image on: displacements are counted from here."""
        self._exposed = self._flat.copy()

    # -- what is true ---------------------------------------------------------
    def tension_at(self, places: Places) -> Floats:
        """True tension (along A, across A) under the meter's base at each place (n, 2)."""
        points = np.asarray(places, dtype=float) * self._spans
        tension = self._net.tension(self._frame.shaped(self._flat))
        return 10 * Patches(self._grid, points).under(*tension)

    def displacement_of(self, marks: Places) -> Floats:
        """How far each mark (where it lay when exposed) has moved since, (n, 2) mm."""
        points = np.asarray(marks, dtype=float) * self._spans
        thread = points - self._moved(self._exposed, points)
        return self._moved(self._flat, thread) - self._moved(self._exposed, thread)

    def pulls(self) -> dict[str, float]:
        """Force of each bolt, N."""
        forces = self._frame.bolts.pulls(self._flat, self._draws)
        return dict(zip(self.layout.names, map(float, forces), strict=True))

    def stand_out(self) -> dict[str, float]:
        """How far out each bar stands at each bolt, mm from where it was locked in."""
        out = self._frame.bolts.stand_out(self._flat)
        return dict(zip(self.layout.names, map(float, out), strict=True))

    def copy(self, **overrides: Any) -> "Plant":
        """A twin to try something on, with other traits where named."""
        twin = deepcopy(self)
        twin.traits = replace(twin.traits, **overrides)
        return twin

    # -- making ---------------------------------------------------------------
    @property
    def _spans(self) -> Floats:
        return np.array([self.layout.inside_a_mm, self.layout.inside_b_mm])

    def _index(self, name: str) -> int:
        try:
            return self.layout.names.index(name)
        except ValueError:
            raise ValueError(f"turns: {name!r} is no bolt of this frame") from None

    def _weave(self) -> Cloth:
        t = self.traits
        both = np.sqrt(t.ex * t.ey)
        return Cloth(
            t.ex, t.ey, t.poisson * both, t.shear_share * both, t.crimp_share, t.crimp_strain
        )

    def _slack(self) -> tuple[Floats, Floats]:
        """Uneven locking-in as tension, N/mm, on the segments along x and along y."""
        x, y = self._grid.x, self._grid.y
        middle_x, middle_y = (x[:-1] + x[1:]) / 2, (y[:-1] + y[1:]) / 2
        t = self.traits
        along_x = uneven(self._rng, middle_x, y, t.unevenness, t.rough)
        along_y = uneven(self._rng, middle_y, x, t.unevenness, t.rough).T
        return along_x, along_y

    def _lock_in(self, slack: tuple[Floats, Floats], start: float) -> None:
        """Lock the piece in so that the mean tension (N/mm) of both directions is the start."""
        t = self.traits
        rigidity = RIGIDITY_N_MM2[self.layout.profile] * t.rigidity_share
        raised = np.array([start, start])
        self._flat = np.zeros(2 * self._grid.nodes)
        for _ in range(4):
            strains = (
                self._strain(slack[0] + raised[0], t.ex),
                self._strain(slack[1] + raised[1], t.ey),
            )
            self._net = Net(self._grid, self._cloth, strains)
            self._frame = Frame(self.layout, self._net, dict.fromkeys("ABCD", rigidity), t.grip)
            self._draws = self._jitter.copy()
            self._settle()
            raised += start - self.tension_at(MIDDLE).mean(axis=0) / 10
        self.nip_up()

    def _strain(self, tension: Floats, stiffness: float) -> Floats:
        """The strain at which the cloth pulls so hard, by bisection; what is missing below zero is
        slack of the same size, since a wave of two per cent in the mesh would be seen by anyone."""
        low, high = np.full(tension.shape, -0.02), np.full(tension.shape, 0.06)
        for _ in range(40):
            middle = (low + high) / 2
            weak = stiffness * self._cloth.pull(middle)[0] < tension
            low, high = np.where(weak, middle, low), np.where(weak, high, middle)
        return np.where(tension > 0, (low + high) / 2, tension / stiffness)

    def _settle(self) -> None:
        self._flat = self._frame.solve(self._draws, self._flat)

    def _moved(self, flat: Floats, points: Floats) -> Floats:
        """Displacement of mesh points (n, 2) in mm, by linear interpolation."""
        none = np.zeros(1)
        x, y = hats(self._grid.x, points[:, 0], none), hats(self._grid.y, points[:, 1], none)
        moved = self._frame.shaped(flat)
        return np.stack([((x @ moved[..., axis]) * y).sum(axis=1) for axis in (0, 1)], axis=1)


MIDDLE = [(u, v) for u in np.linspace(0.25, 0.75, 5) for v in np.linspace(0.25, 0.75, 5)]
