"""The frame as the mechanics sees it: inside size, bolts on each side, bars."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from types import MappingProxyType

import numpy as np

from frames.wording import mark, say

from .faults import InputFault, number

SIDES = ("A", "B", "C", "D")
# sign of an outward bar movement along its axis, and the axis it moves along (0 = x, 1 = y)
OUTWARD = {"A": (-1.0, 1), "B": (1.0, 0), "C": (1.0, 1), "D": (-1.0, 0)}
OPPOSITE = {"A": "C", "C": "A", "B": "D", "D": "B"}
EDGE_CLEARANCE_MM = 80.0


@dataclass(frozen=True)
class Bar:
    """The floating bar inside a frame side.

    Parameters
    ----------
    ei_n_cm2 : bending stiffness in the plane of the screen, N cm2; usual sections lie between about
        2e6 and 1.4e7 (from assumed sections of aluminium, E = 69 GPa)
    lock_gap_mm : how far the lock ends short of the frame's inside corner, mm

    >>> Bar().ei_n_mm2
    600000000.0
    """

    ei_n_cm2: float = 6e6
    lock_gap_mm: float = 30.0

    def __post_init__(self) -> None:
        number("ei_n_cm2", self.ei_n_cm2, 1e4, 1e10, "Enter the bar's bending stiffness in N cm2")
        number(
            "lock_gap_mm", self.lock_gap_mm, 0, 200, "Enter how far the lock ends from the corner"
        )

    @property
    def ei_n_mm2(self) -> float:
        """Bending stiffness, N mm2."""
        return self.ei_n_cm2 * 100


@dataclass(frozen=True)
class Layout:
    """Inside size of the frame and where its bolts sit.

    Parameters
    ----------
    inside_a_mm, inside_b_mm : inside length along side A and along side B, mm
    bolts : for each side the bolt places in mm from its first corner, rising: A from the D/A
        corner, B from A/B, C from B/C, D from C/D; a side may be empty
    bar : the bar inside each side

    >>> frame = Layout.evenly(1000, 800, 5, 4)
    >>> frame.names[:6], frame.count
    (('A1', 'A2', 'A3', 'A4', 'A5', 'B1'), 18)
    >>> frame.along("C")  # from the B/C corner, so x falls
    array([900., 700., 500., 300., 100.])
    """

    inside_a_mm: float
    inside_b_mm: float
    bolts: Mapping[str, tuple[float, ...]]
    bar: Bar = field(default_factory=Bar)

    def __post_init__(self) -> None:
        what = mark("Enter the inside length of the frame in mm")
        number("inside_a_mm", self.inside_a_mm, 150, 6000, what)
        number("inside_b_mm", self.inside_b_mm, 150, 6000, what)
        if set(self.bolts) - set(SIDES):
            raise InputFault("bolts", sorted(self.bolts), say("Name the sides A, B, C and D."))
        checked = {side: self._side(side) for side in SIDES}
        object.__setattr__(self, "bolts", MappingProxyType(checked))
        if not self.count:
            raise InputFault("bolts", "empty", say("Enter at least one bolt."))

    def _side(self, side: str) -> tuple[float, ...]:
        length = self.length_mm(side)
        places = []
        for i, value in enumerate(self.bolts.get(side, ()), start=1):
            name = f"bolts.{side}{i}"
            place = number(name, value, 0, length, "Enter mm from the side's first corner")
            if places and place <= places[-1]:
                raise InputFault(
                    name, value, say("List the bolts from the first corner onward, none twice.")
                )
            places.append(place)
        return tuple(places)

    @classmethod
    def evenly(
        cls, a_mm: float, b_mm: float, on_a: int, on_b: int, bar: Bar | None = None
    ) -> Layout:
        """``on_a`` bolts on A and C, ``on_b`` on B and D, each in the middle of its share."""

        def spread(length: float, n: int) -> tuple[float, ...]:
            return tuple(length * (i + 0.5) / n for i in range(n))

        a, b = spread(a_mm, on_a), spread(b_mm, on_b)
        return cls(a_mm, b_mm, {"A": a, "B": b, "C": a, "D": b}, bar or Bar())

    def length_mm(self, side: str) -> float:
        """Inside length of a side, mm."""
        return self.inside_a_mm if side in "AC" else self.inside_b_mm

    def span_mm(self, side: str) -> float:
        """Distance between a side and the opposite one, mm."""
        return self.length_mm("B" if side in "AC" else "A")

    def along(self, side: str) -> np.ndarray:
        """Bolt places of a side along x (A, C) or y (B, D), mm, in the order of their numbers."""
        places = np.asarray(self.bolts[side], dtype=float)
        return places if side in "AB" else self.length_mm(side) - places

    @cached_property
    def names(self) -> tuple[str, ...]:
        """All bolts in wrench order: A1 ..., B1 ..., C1 ..., D1 ..."""
        return tuple(f"{s}{i + 1}" for s in SIDES for i in range(len(self.bolts[s])))

    @property
    def count(self) -> int:
        """Number of bolts."""
        return sum(len(self.bolts[s]) for s in SIDES)

    def columns(self, side: str) -> np.ndarray:
        """Indices of a side's bolts in `names`."""
        return np.array([i for i, n in enumerate(self.names) if n[0] == side], dtype=int)

    def index(self, name: str) -> int:
        """Index of a bolt in `names`; an `InputFault` names the bolts there are."""
        if name not in self.names:
            sides = ", ".join(
                say("{0}1 to {1}{2}", s, s, len(self.bolts[s])) for s in SIDES if self.bolts[s]
            )
            raise InputFault("bolt", name, say("This frame has {0}.", sides))
        return self.names.index(name)

    @cached_property
    def ends(self) -> frozenset[str]:
        """First and last bolt of every side."""
        return frozenset(f"{s}{i}" for s in SIDES if self.bolts[s] for i in (1, len(self.bolts[s])))

    def vector(self, by_name: Mapping[str, float]) -> np.ndarray:
        """Values by bolt name as an array (bolts,), zero where nothing is said."""
        out = np.zeros(self.count)
        for name, value in by_name.items():
            out[self.index(name)] = value
        return out

    def grid(self, n: int = 9, clearance_mm: float = EDGE_CLEARANCE_MM) -> np.ndarray:
        """An n x n grid of places at least ``clearance_mm`` from the locks, as (n*n, 2) fractions.

        On a small frame the clearance is at most a quarter of the side.
        """
        edge = [min(clearance_mm / s, 0.25) for s in (self.inside_a_mm, self.inside_b_mm)]
        u, v = (np.linspace(e, 1 - e, n) for e in edge)
        return np.array([(x, y) for y in v for x in u])


def as_places(places: object) -> np.ndarray:
    """Places as a float array (n, 2) of fractions from 0 to 1.

    >>> as_places([(0.5, 0.5)]).shape
    (1, 2)
    """
    array = np.atleast_2d(np.asarray(places, dtype=float))
    if array.ndim != 2 or array.shape[1] != 2:
        raise InputFault("places", array.shape, say("Give pairs (u, v)."))
    if not np.all((array >= 0) & (array <= 1)):
        worst = array[np.any((array < 0) | (array > 1), axis=1)][0]
        raise InputFault(
            "places", tuple(map(float, worst)), say("u and v are fractions from 0 to 1.")
        )
    return array
