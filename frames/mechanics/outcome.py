"""What given turns would do, before anyone turns them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from frames.wording import say, written

from .bolts import PER_TURN
from .layout import as_places
from .limits import Limits, neighbour_rows, say_turns
from .state import State, after_turns, move

SURE = 1.645


@dataclass(frozen=True)
class Outcome:
    """Answer of `what_if`.

    ``tension``, ``low``, ``high`` (n, 2) N/cm at the places, 90 % bands of a reading there;
    ``change`` (n, 2) N/cm; ``moved_mm`` (n, 2) movement of the image there; ``loose`` bolts that
    will hang loose before nipping up; ``highest_n_per_cm`` over the image, mean + 1.64 sd;
    ``warnings`` limits these turns break, in words.
    """

    tension: np.ndarray
    low: np.ndarray
    high: np.ndarray
    change: np.ndarray
    moved_mm: np.ndarray
    loose: tuple[str, ...]
    highest_n_per_cm: float
    warnings: tuple[str, ...]


def what_if(
    state: State,
    turns_48ths: Mapping[str, int],
    places: object,
    limits: Limits | None = None,
) -> Outcome:
    """Predict what turns do, bars on one-way bolts included.

    Parameters
    ----------
    state : the screen now
    turns_48ths : bolt -> 48ths of a turn, + tightens
    places : (n, 2) fractions
    limits : limits to warn about, and bolts that cannot turn

    >>> from .cloth import Mesh
    >>> from .layout import Layout
    >>> from .state import begin
    >>> from .strip import Strip
    >>> s = begin(Strip(Layout.evenly(1000, 1000, 2, 2), Mesh(1000, 1000, coupling=0)))
    >>> what_if(s, {"B1": 48, "B2": 48}, [(1.0, 0.5)]).moved_mm.round(3)
    array([[1.411, 0.   ]])
    """
    limits, layout, at = limits or Limits(), state.layout, as_places(places)
    turns = layout.vector({n: k / PER_TURN for n, k in turns_48ths.items()})
    turnable, broken = limits.turnable(layout), limits.is_broken(layout)
    warnings = _warnings(state, turns, limits)
    turns = np.where(turnable, turns, 0.0)
    rest = move(state, turns, turnable, broken)
    later = after_turns(state, turns, turnable, broken)
    shift = rest.bar_mm - state.bar_mm
    change = state.influence(at) @ shift
    tension = state.tension(at) + change
    half = SURE * np.hypot(later.tension_sd(at), state.doubt.reading_sd)
    grid = layout.grid(9)
    image = state.tension(grid) + state.influence(grid) @ shift
    highest = float((image + SURE * later.tension_sd(grid)).max())
    cap = limits.cap_n_per_cm
    if cap is not None and highest > cap:
        warnings.append(
            say(
                "Up to {0} N/cm somewhere: the mesh's highest is {1}.",
                written(highest, ".1f"),
                written(cap, "g"),
            )
        )
    moved = state.model.displacement(at) @ shift
    return Outcome(
        tension, tension - half, tension + half, change, moved, rest.loose, highest, tuple(warnings)
    )


def _warnings(state: State, turns: np.ndarray, limits: Limits) -> list[str]:
    names = np.array(state.layout.names)
    out = []
    for broken, text in (
        (turns > limits.turns + 1e-9, say("More than {0} in a round", say_turns(limits.turns))),
        (
            turns < -limits.loosen_turns - 1e-9,
            say("Loosened by over {0}", say_turns(limits.loosen_turns)),
        ),
        ((turns != 0) & ~limits.turnable(state.layout), say("Cannot be turned")),
    ):
        if broken.any():
            out.append(f"{text}: {', '.join(names[broken])}.")
    rows, pairs = neighbour_rows(state.layout, np.ones(len(turns), bool))
    apart = np.abs(rows @ turns) > limits.neighbour_turns + 1e-9
    close = [f"{a}-{b}" for (a, b), far in zip(pairs, apart, strict=True) if far]
    if close:
        most = say_turns(limits.neighbour_turns)
        out.append(say("Neighbours differ by more than {0}: {1}.", most, ", ".join(close)))
    return out
