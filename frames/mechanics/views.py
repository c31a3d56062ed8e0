"""The frame as it lies in front of the reader: which face is up, which side is near."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from .faults import one_of
from .layout import SIDES, Layout

# (u, v) -> (p to the right, q away from the reader), as matrix and offset per near side
_SQUEEGEE = {
    "A": (((1, 0), (0, 1)), (0, 0)),
    "B": (((0, 1), (-1, 0)), (0, 1)),
    "C": (((-1, 0), (0, -1)), (1, 1)),
    "D": (((0, -1), (1, 0)), (1, 0)),
}
_PRINT = {
    "A": (((-1, 0), (0, 1)), (1, 0)),
    "B": (((0, -1), (-1, 0)), (1, 1)),
    "C": (((1, 0), (0, -1)), (0, 1)),
    "D": (((0, 1), (1, 0)), (0, 0)),
}


@dataclass(frozen=True)
class View:
    """Which face is up and which side is near.

    >>> View("print", "A").seen([(0.25, 0.5)])
    array([[0.75, 0.5 ]])
    """

    face: str = "squeegee"
    near: str = "A"

    def __post_init__(self) -> None:
        one_of("face", self.face, ("squeegee", "print"), "Say which face is up")
        one_of("near", self.near, SIDES, "Say which side is near")

    @property
    def _map(self) -> tuple[np.ndarray, np.ndarray]:
        turn, offset = (_SQUEEGEE if self.face == "squeegee" else _PRINT)[self.near]
        return np.array(turn, float), np.array(offset, float)

    def seen(self, places: object) -> np.ndarray:
        """Fractions (n, 2) to the right and away from the reader, of places (u, v)."""
        turn, offset = self._map
        return np.atleast_2d(places) @ turn.T + offset

    def place(self, seen: object) -> np.ndarray:
        """Places (n, 2) in frame fractions of what the reader sees at (right, away)."""
        turn, offset = self._map
        return (np.atleast_2d(seen) - offset) @ turn

    def direction(self, right: float, away: float) -> np.ndarray:
        """A direction the reader sees, in frame axes, (2,).

        >>> View("squeegee", "B").direction(1, 0)
        array([0., 1.])
        """
        return np.array([right, away], float) @ self._map[0]


def centred_mm(layout: Layout, places: object) -> np.ndarray:
    """Places (n, 2) in mm from the middle of the frame."""
    size = np.array([layout.inside_a_mm, layout.inside_b_mm])
    return (np.atleast_2d(np.asarray(places, float)) - 0.5) * size
