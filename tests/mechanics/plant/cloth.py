"""What a thread does when stretched, and how a piece is unevenly locked in."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
TAUT = 2e-4  # strain over which a slack thread becomes taut
LAZY = 0.01  # share of stiffness left in slack threads, so that the net stays solvable


@dataclass(frozen=True)
class Cloth:
    """Stiffness along x and y (N/mm), crossing coupling and shear (N/mm), crimp.

    The stiffness grows from (1 - crimp_share) of its end value as crimp is pulled out over
    a strain of `crimp_strain`.
    """

    ex: float
    ey: float
    coupling: float
    shear: float
    crimp_share: float
    crimp_strain: float

    def taut(self, strain: Floats) -> tuple[Floats, Floats, Floats]:
        """The taut part of a strain, its slope and its curvature."""
        scaled = np.clip(strain / TAUT, -60.0, 60.0)
        slope = 1 / (1 + np.exp(-scaled))
        part = np.where(scaled > 30, strain, TAUT * np.log1p(np.exp(np.minimum(scaled, 30.0))))
        return part, slope, slope * (1 - slope) / TAUT

    def pull(self, strain: Floats) -> tuple[Floats, Floats]:
        """Tension and its slope for a stiffness of one."""
        part, slope, _ = self.taut(strain)
        left = self.crimp_share * np.exp(-part / self.crimp_strain)
        straight = part - self.crimp_share * self.crimp_strain + left * self.crimp_strain
        return straight + LAZY * strain, (1 - left) * slope + LAZY

    def stored(self, strain: Floats) -> Floats:
        """Energy per length for a stiffness of one: `pull` integrated by Simpson's rule."""
        steps = np.linspace(0.0, 1.0, 65)
        weights = np.tile([2.0, 4.0], 33)[:65]
        weights[[0, -1]] = 1.0
        at = strain[..., None] * steps
        return strain * (self.pull(at)[0] @ weights) / 192


def smooth_walk(rng: np.random.Generator, at: Floats, reach: float) -> Floats:
    """A random curve: white noise every 5 mm under a bell of the given reach, sd 1."""
    every = np.arange(at[0] - 3 * reach, at[-1] + 3 * reach, 5.0)
    bells = np.exp(-0.5 * ((at[:, None] - every) / reach) ** 2)
    bells /= np.linalg.norm(bells, axis=1, keepdims=True)
    return bells @ rng.standard_normal(len(every))


def bumps(rng: np.random.Generator, x: Floats, y: Floats, count: int) -> Floats:
    """A random hilly field (nx, ny) of a few bells of any place and width, about sd 1."""
    spans = np.array([x[-1], y[-1]])
    field = np.zeros((len(x), len(y)))
    for _ in range(count):
        middle = rng.uniform(-0.1, 1.1, 2) * spans
        reach = rng.uniform(0.12, 0.4, 2) * spans
        bell_x = np.exp(-0.5 * ((x - middle[0]) / reach[0]) ** 2)
        bell_y = np.exp(-0.5 * ((y - middle[1]) / reach[1]) ** 2)
        field += rng.choice([-1.0, 1.0]) * np.outer(bell_x, bell_y)
    return field / max(field.std(), 0.25)


def uneven(
    rng: np.random.Generator, along: Floats, across: Floats, unevenness: float, rough: float = 1.0
) -> Floats:
    """How much tighter or slacker threads were locked in, N/mm, shape (along, across).

    Thread to thread (across) it drifts smoothly, jumps a little from each thread to the
    next, and steps where a lock let some threads slip; along a thread it changes little. With
    `rough` 0 only a drift over half the span or more is left.
    """
    reach = rng.uniform(0.1, 0.3) + 0.25 * (1 - rough)
    drift = smooth_walk(rng, across, reach * across[-1])
    jitter = 0.15 * rng.standard_normal(len(across))
    slip = np.zeros(len(across))
    for _ in range(rng.integers(0, 3)):
        start, wide = rng.uniform(0, across[-1]), rng.uniform(40, 150)
        slip -= rng.uniform(0.3, 1.5) * ((across >= start) & (across <= start + wide))
    hills = 0.4 * bumps(rng, along, across, 5)
    field = rough * hills + (drift + rough * (jitter + slip))[None, :]
    return unevenness * (field - field.mean())
