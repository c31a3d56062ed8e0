"""How unevenly the piece sits: a smooth field of tension over the frame, by a few cosines."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from .layout import as_places


@dataclass(frozen=True)
class Unevenness:
    """Cosine basis cos(j pi s) cos(k pi t), s along the threads, t across, and its prior.

    Threads carry almost no shear, so tension hardly changes along a thread: terms with j > 0 are
    held small. The prior standard deviation falls with the wave number: smooth fields first.

    Parameters
    ----------
    across, along : highest wave number across and along the threads
    level_sd : N/cm, of the even part
    slope_sd : N/cm, of the first wave across; wave k has slope_sd / k^fall
    along_sd : N/cm, of the terms along the threads
    fall : how fast the prior falls with the wave number

    >>> Unevenness(2, 1).size
    6
    """

    across: int = 6
    along: int = 3
    level_sd: float = 30.0
    slope_sd: float = 1.2
    along_sd: float = 0.25
    fall: float = 0.6

    @cached_property
    def waves(self) -> np.ndarray:
        """(size, 2) wave numbers (along j, across k)."""
        return np.array([(j, k) for j in range(self.along + 1) for k in range(self.across + 1)])

    @property
    def size(self) -> int:
        """Number of coefficients per direction."""
        return (self.across + 1) * (self.along + 1)

    @cached_property
    def sd(self) -> np.ndarray:
        """(size,) prior standard deviation of each coefficient, N/cm."""
        j, k = self.waves.T
        straight = self.slope_sd / np.maximum(k, 1) ** self.fall
        wavy = self.along_sd / np.maximum(j, 1) / (1 + k) ** self.fall
        return np.where(j > 0, wavy, np.where(k > 0, straight, self.level_sd))

    def basis(self, places: object, axis: int) -> np.ndarray:
        """(n, size) values at places, for tension carried along ``axis`` (0 = x, 1 = y)."""
        at = as_places(places)
        j, k = self.waves.T
        return np.cos(np.pi * at[:, [axis]] * j) * np.cos(np.pi * at[:, [1 - axis]] * k)

    def project(self, places: np.ndarray, values: np.ndarray, axis: int) -> np.ndarray:
        """Coefficients (size, columns) of fields given at places (n, columns), lightly damped."""
        b = self.basis(places, axis)
        damp = 1e-3 * len(b) * np.eye(self.size)
        return np.linalg.solve(b.T @ b + damp, b.T @ values)
