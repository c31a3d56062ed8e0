"""One screen per colour, all as nearly alike as the rack allows."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from .faults import InputFault


@dataclass(frozen=True)
class MatchedSet:
    """``screens`` colour -> screen; ``spread_n_per_cm`` between the largest and the smallest
    deviation; ``status`` ``"optimal"`` or ``"short"``; ``message``."""

    screens: dict[str, str]
    spread_n_per_cm: float
    status: str
    message: str


def match(candidates: Mapping[str, Sequence[str]], deviation: Mapping[str, float]) -> MatchedSet:
    """Screens for all colours with the least spread of deviation from their own targets. Exact.

    Slides a window over the sorted deviations; a window will do if the screens in it can be given
    out one per colour (bipartite matching); the narrowest such window wins, of equals the lower.

    Parameters
    ----------
    candidates : colour -> screens that fit it (mesh, size, press, stencil)
    deviation : screen -> forecast tension less its own target on the print date, N/cm

    >>> fit = {"red": ["F1", "F2"], "blue": ["F2", "F3"]}
    >>> match(fit, {"F1": 0.0, "F2": 1.0, "F3": 1.1}).screens
    {'red': 'F2', 'blue': 'F3'}
    """
    if not candidates:
        raise InputFault("candidates", "none", "Enter at least one colour.")
    missing = sorted({s for fit in candidates.values() for s in fit} - set(deviation))
    if missing:
        raise InputFault("deviation", missing[0], "Every screen needs a forecast deviation.")
    colours = list(candidates)
    screens = sorted(
        {s for fit in candidates.values() for s in fit}, key=lambda s: (deviation[s], s)
    )
    fits = np.array([[s in candidates[c] for s in screens] for c in colours], dtype=bool)
    best, first = None, 0
    for last in range(len(screens)):
        while (given := _give_out(fits, first, last + 1)) is not None:
            spread = deviation[screens[last]] - deviation[screens[first]]
            if best is None or spread < best[0] - 1e-12:
                best = (spread, given)
            first += 1
    if best is None:
        text = "There are not enough screens: one colour or more would stay without."
        return MatchedSet({}, float("nan"), "short", text)
    chosen = {c: screens[i] for c, i in zip(colours, best[1], strict=True)}
    return MatchedSet(chosen, float(best[0]), "optimal", f"Spread {best[0]:.1f} N/cm.")


def _give_out(fits: np.ndarray, first: int, stop: int) -> np.ndarray | None:
    """One screen of the window per colour, as column numbers, or None."""
    from scipy.sparse import csr_array
    from scipy.sparse.csgraph import maximum_bipartite_matching

    if stop - first < len(fits):
        return None
    window = csr_array(fits[:, first:stop].astype(int))
    given = maximum_bipartite_matching(window, perm_type="column")
    return given + first if np.all(given >= 0) else None
