"""Meter readings as the mechanics takes them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from frames.wording import say

from .faults import InputFault, number


@dataclass(frozen=True)
class Reading:
    """What the meter showed at one place, in one or both directions.

    Parameters
    ----------
    u, v : place as fractions of the inside of the frame
    along_a_n_per_cm : tension carried in x (meter laid along side A), N/cm, or None
    across_a_n_per_cm : tension carried in y, N/cm, or None

    >>> Reading(0.5, 0.5, 21.0)
    Reading(u=0.5, v=0.5, along_a_n_per_cm=21.0, across_a_n_per_cm=None)
    """

    u: float
    v: float
    along_a_n_per_cm: float | None = None
    across_a_n_per_cm: float | None = None

    def __post_init__(self) -> None:
        number("u", self.u, 0, 1, "Enter the place as a fraction along side A")
        number("v", self.v, 0, 1, "Enter the place as a fraction away from side A")
        values = (self.along_a_n_per_cm, self.across_a_n_per_cm)
        if values == (None, None):
            raise InputFault(
                "along_a_n_per_cm", None, say("Enter at least one of the two directions.")
            )
        for name, value in zip(("along_a_n_per_cm", "across_a_n_per_cm"), values, strict=True):
            if value is not None:
                number(name, value, 0, 150, "Enter what the meter shows in N/cm")


@dataclass(frozen=True)
class ReadingTable:
    """Readings as arrays: ``places`` (n, 2), ``direction`` (n,) 0 = x, 1 = y, ``value`` (n,)."""

    places: np.ndarray
    direction: np.ndarray
    value: np.ndarray

    def __len__(self) -> int:
        return len(self.value)


def table(readings: Sequence[Reading]) -> ReadingTable:
    """Flatten readings to one row per value shown.

    >>> table([Reading(0.5, 0.5, 20.0, 21.0)]).value
    array([20., 21.])
    """
    rows = [
        (r.u, r.v, axis, value)
        for r in readings
        for axis, value in enumerate((r.along_a_n_per_cm, r.across_a_n_per_cm))
        if value is not None
    ]
    array = np.array(rows, dtype=float).reshape(-1, 4)
    return ReadingTable(array[:, :2], array[:, 2].astype(int), array[:, 3])
