"""One screen per colour, all as nearly alike as the rack allows."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from frames.wording import say, written

from .faults import InputFault

NEVER = 1e6


@dataclass(frozen=True)
class MatchedSet:
    """``screens`` colour -> screen; ``spread_n_per_cm`` between the largest and the smallest
    deviation; ``status`` ``"optimal"`` or ``"short"``; ``message``."""

    screens: dict[str, str]
    spread_n_per_cm: float
    status: str
    message: str


def match(candidates: Mapping[str, Collection[str]], deviation: Mapping[str, float]) -> MatchedSet:
    """Screens for all colours with the least spread of deviation from their own targets. Exact.

    Slides a window over the sorted deviations; a window will do if the screens in it can be given
    out one per colour (bipartite matching, kept up by augmenting paths); the narrowest such window
    wins, of equals the lower. Within it the screens nearest to their targets are given out.

    Parameters
    ----------
    candidates : colour -> screens that fit it (mesh, size, press, stencil)
    deviation : screen -> forecast tension less its own target on the print date, N/cm

    >>> fit = {"red": ["F1", "F2"], "blue": ["F2", "F3"]}
    >>> match(fit, {"F1": 0.0, "F2": 1.0, "F3": 1.1}).screens
    {'red': 'F2', 'blue': 'F3'}
    """
    if not candidates:
        raise InputFault("candidates", "none", say("Enter at least one colour."))
    missing = sorted({s for fit in candidates.values() for s in fit} - set(deviation))
    if missing:
        raise InputFault("deviation", missing[0], say("Every screen needs a forecast deviation."))
    screens = sorted(
        {s for fit in candidates.values() for s in fit}, key=lambda s: (deviation[s], s)
    )
    window = _narrowest(candidates, screens, deviation)
    if window is None:
        text = say("There are not enough screens: one colour or more would stay without.")
        return MatchedSet({}, float("nan"), "short", text)
    chosen = nearest(candidates, {s: abs(deviation[s]) for s in screens[window]})
    values = [deviation[s] for s in chosen.values()]
    spread = max(values) - min(values)
    return MatchedSet(chosen, spread, "optimal", say("Spread {0} N/cm.", written(spread, ".1f")))


def _narrowest(
    candidates: Mapping[str, Collection[str]],
    screens: Sequence[str],
    deviation: Mapping[str, float],
) -> slice | None:
    place = {s: i for i, s in enumerate(screens)}
    given = _GivenOut([sum(1 << place[s] for s in set(fit)) for fit in candidates.values()])
    best, window, first = np.inf, None, 0
    for last, screen in enumerate(screens):
        given.add(last)
        while given.complete:
            spread = deviation[screen] - deviation[screens[first]]
            if spread < best - 1e-12:
                best, window = spread, slice(first, last + 1)
            given.remove(first)
            first += 1
    return window


class _GivenOut:
    """As many colours as can be have a screen of the window; sets of screens are bits."""

    def __init__(self, fits: Sequence[int]) -> None:
        self.fits, self.window = fits, 0
        self.holder: dict[int, int] = {}
        self.without = set(range(len(fits)))

    @property
    def complete(self) -> bool:
        """Whether every colour has one."""
        return not self.without

    def add(self, screen: int) -> None:
        """A screen enters: at most one more colour gets one."""
        self.window |= 1 << screen
        self._settle()

    def remove(self, screen: int) -> None:
        """A screen leaves: the colour that held it looks for another."""
        self.window &= ~(1 << screen)
        if screen in self.holder:
            self.without.add(self.holder.pop(screen))
            self._settle()

    def _settle(self) -> None:
        for colour in sorted(self.without):
            if self._find(colour, [self.window]):
                self.without.discard(colour)
                return

    def _find(self, colour: int, left: list[int]) -> bool:
        """Give the colour a screen, moving others on if need be: an augmenting path."""
        while open_ := self.fits[colour] & left[0]:
            screen = open_.bit_length() - 1
            left[0] &= ~(1 << screen)
            if screen not in self.holder or self._find(self.holder[screen], left):
                self.holder[screen] = colour
                return True
        return False


def nearest(candidates: Mapping[str, Collection[str]], cost: Mapping[str, float]) -> dict[str, str]:
    """One screen of ``cost`` per colour with the least sum of cost; empty if that cannot be.

    >>> nearest({"red": ["F1", "F2"], "blue": ["F2"]}, {"F1": 3.0, "F2": 0.0})
    {'red': 'F1', 'blue': 'F2'}
    """
    from scipy.optimize import linear_sum_assignment

    screens, colours = list(cost), list(candidates)
    sets = [set(candidates[c]) for c in colours]
    table = np.array([[cost[s] if s in fit else NEVER for s in screens] for fit in sets])
    rows, columns = linear_sum_assignment(table)
    if len(rows) < len(colours) or table[rows, columns].max() >= NEVER:
        return {}
    return {colours[r]: screens[c] for r, c in zip(rows, columns, strict=True)}
