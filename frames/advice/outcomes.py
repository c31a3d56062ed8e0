"""What given turns would do, over the whole mesh, before anyone turns them."""

from dataclasses import replace

import numpy as np

from frames.advice.answers import (
    answers,
    arrows,
    believed,
    foretold,
    last_spots,
    thousandth,
    with_readings,
)
from frames.advice.history import in_turns
from frames.advice.setup import PER_TURN, Json, Setup
from frames.advice.tensioning import STENCIL_ON
from frames.errors import BadInput, Problem
from frames.mechanics import Layout, Membrane, State
from frames.mechanics import what_if as foresee
from frames.mechanics.cautions import cautions
from frames.wording import say

CELLS = 9
GRID = 5
MODELS = ("strip", "membrane")
PRESTRESS_N_PER_CM = (1.0, 60.0)


@answers
def what_if(request: Json) -> Json:
    setup = Setup(request)
    model = request.get("model") or "strip"
    if model not in MODELS:
        raise BadInput([Problem("model", model, say("Choose one of: {0}.", "strip, membrane"))])
    asked = in_turns(setup, request.get("turns") or [])
    turns = {bolt: round(turn * PER_TURN) for bolt, turn in asked.items()}
    state = with_readings(setup, believed(setup)).state
    spots = last_spots(setup)
    places = [(s["u"], s["v"]) for s in spots]
    at = cells(setup.layout)
    grid = [(u, v) for v in np.linspace(0.1, 0.9, GRID) for u in np.linspace(0.1, 0.9, GRID)]
    everywhere = np.array([*places, *at, *grid])
    if model == "membrane":
        state = on_membrane(setup, state)
    seen = foresee(state, turns, everywhere, setup.limits)
    n, m = len(places), len(at)
    return {
        "predicted": foretold(places, seen.low[:n], seen.tension[:n], seen.high[:n]),
        "map": _map(at, seen.tension[n : n + m], seen.change[n : n + m]),
        "moved": arrows(grid, seen.moved_mm[n + m :]),
        "loose": list(seen.loose),
        "highest_n_per_cm": thousandth(seen.highest_n_per_cm),
        "warnings": list(seen.warnings),
        "trusted": state.trusted,
        "cautions": [*((say(STENCIL_ON),) if setup.is_coated else ()), *cautions(setup.where)],
    }


def cells(layout: Layout) -> list[tuple[float, float]]:
    """Middles of 9 x 9 cells over the whole inside, row by row from side A."""
    along = [(i + 0.5) / CELLS for i in range(CELLS)]
    return [(u, v) for v in along for u in along]


def on_membrane(setup: Setup, state: State) -> State:
    """The same belief with finite elements underneath.

    What the bars do is taken over from the strip model where that was learned, inside the locks'
    reach; in the margins and corners the membrane says what the strip cannot.
    """
    inside = setup.layout.grid(CELLS)
    before = state.tension(inside)
    level = float(np.clip(before.mean(), *PRESTRESS_N_PER_CM))
    membrane = replace(state, model=Membrane(setup.layout, setup.mesh, level))
    gap = before - membrane.tension(inside)
    mean, k = state.mean.copy(), state.basis.size
    for axis in (0, 1):
        smooth = state.basis.project(inside, gap[:, [axis]], axis)
        mean[axis * k : (axis + 1) * k] += smooth[:, 0]
    return replace(membrane, mean=mean)


def _map(at: list[tuple[float, float]], tension: np.ndarray, change: np.ndarray) -> Json:
    def rows(values: np.ndarray) -> list[list[float]]:
        return [[thousandth(x) for x in row] for row in values.reshape(CELLS, CELLS)]

    return {
        "u": [thousandth(u) for u, _ in at[:CELLS]],
        "v": [thousandth(v) for _, v in at[::CELLS]],
        "along_a": rows(tension[:, 0]),
        "across_a": rows(tension[:, 1]),
        "change_along_a": rows(change[:, 0]),
        "change_across_a": rows(change[:, 1]),
    }
