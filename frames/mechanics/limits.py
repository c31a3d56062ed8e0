"""What a plan may and may not do, as rows of a program and as sentences."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

import numpy as np

from frames.wording import say, say_many

from .faults import InputFault, number
from .layout import Layout

HARD_TURNS = 3.0  # more than this on one bolt in one round is never advised (common practice)


@dataclass(frozen=True)
class Limits:
    """Limits of one round.

    Parameters
    ----------
    turns : most a bolt is tightened in a round, at most 3
    loosen_turns : most a bolt is loosened in a round
    neighbour_turns : most two neighbouring bolts may differ in a round
    cap_n_per_cm : tension the mesh must nowhere exceed (mean + 1.64 sd), or None
    hidden : bolts that cannot be reached now (clamped on this press)
    seized : bolts that do not turn; they still hold
    broken : bolts that hold nothing
    first_round : end bolts stay (common practice on new mesh)

    >>> Limits(turns=2, seized={"A3"}).seized
    frozenset({'A3'})
    """

    turns: float = 2.0
    loosen_turns: float = 1.0
    neighbour_turns: float = 1.0
    cap_n_per_cm: float | None = None
    hidden: frozenset[str] = field(default_factory=frozenset)
    seized: frozenset[str] = field(default_factory=frozenset)
    broken: frozenset[str] = field(default_factory=frozenset)
    first_round: bool = False

    def __post_init__(self) -> None:
        number("turns", self.turns, 1 / 16, HARD_TURNS, "Enter the most turns per round")
        number("loosen_turns", self.loosen_turns, 0, HARD_TURNS, "Enter the most turns to loosen")
        number(
            "neighbour_turns", self.neighbour_turns, 1 / 16, 6, "Enter the most turns of difference"
        )
        if self.cap_n_per_cm is not None:
            number(
                "cap_n_per_cm",
                self.cap_n_per_cm,
                1,
                150,
                "Enter the mesh's highest tension in N/cm",
            )
        for name in ("hidden", "seized", "broken"):
            value = getattr(self, name)
            if isinstance(value, str) or not isinstance(value, Iterable):
                raise InputFault(name, value, say("Give a set of bolt names such as A1."))
            object.__setattr__(self, name, frozenset(value))

    def turnable(self, layout: Layout) -> np.ndarray:
        """(bolts,) bool: bolts a wrench can turn at all."""
        fixed = self.hidden | self.seized | self.broken
        for name in fixed:
            layout.index(name)
        return np.array([n not in fixed for n in layout.names])

    def moving(self, layout: Layout) -> np.ndarray:
        """(bolts,) bool: bolts this round may move."""
        can = self.turnable(layout)
        return can & ~self._held_ends(layout) if self.first_round else can

    def _held_ends(self, layout: Layout) -> np.ndarray:
        """End bolts of sides that have others to turn."""
        many = {s for s in layout.bolts if len(layout.bolts[s]) > 3}
        return np.array([n in layout.ends and n[0] in many for n in layout.names])

    def is_broken(self, layout: Layout) -> np.ndarray:
        """(bolts,) bool: bolts that hold nothing."""
        return np.array([n in self.broken for n in layout.names])

    def why_still(self, layout: Layout) -> dict[str, str]:
        """Bolt name -> why it does not move."""
        ends = layout.names if self.first_round else ()
        out = {
            n: say("end bolt, stays in the first round")
            for n, held in zip(ends, self._held_ends(layout), strict=False)
            if held
        }
        reasons = (
            (say("cannot be reached"), self.hidden),
            (say("seized"), self.seized),
            (say("broken"), self.broken),
        )
        out.update({n: why for why, names in reasons for n in names})
        return {n: out[n] for n in layout.names if n in out}


def neighbour_rows(layout: Layout, moving: np.ndarray) -> tuple[np.ndarray, list[tuple[str, str]]]:
    """Turn differences of neighbours that both move: rows (pairs, bolts), and their names."""
    rows, pairs = [], []
    for a, b in zip(range(layout.count - 1), range(1, layout.count), strict=True):
        first, second = layout.names[a], layout.names[b]
        if first[0] == second[0] and moving[a] and moving[b]:
            row = np.zeros(layout.count)
            row[a], row[b] = -1, 1
            rows.append(row)
            pairs.append((first, second))
    return np.array(rows).reshape(-1, layout.count), pairs


def say_turns(turns: float) -> str:
    """Turns as a printer says them.

    >>> say_turns(2.0), say_turns(1 / 6), say_turns(1.375)
    ('2 turns', '1/6 turn', '1 3/8 turns')
    """
    forty_eighths = 48 * abs(turns)
    whole, part = divmod(round(forty_eighths), 48)
    if not part:
        return say_many("{0} turn", "{0} turns", whole)
    for of in (2, 3, 4, 6, 8, 16, 48):
        if part * of % 48 == 0:
            fraction = f"{part * of // 48}/{of}"
            break
    return say("{0} {1} turns", whole, fraction) if whole else say("{0} turn", fraction)
