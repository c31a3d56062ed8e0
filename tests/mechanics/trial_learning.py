"""What ten logged plans teach about frames whose mesh is 40 % off its card.

    python -m tests.mechanics.trial_learning [screens per layout]

Each screen of the independent plant is tightened and loosened along A by turns; the strip model
with the card's stiffness predicts every change, the readings before and after say what it was.
After ten changes the factor learned predicts the next four.
"""

import sys
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from frames.mechanics import Observation, learn, predict_change, what_if
from tests.mechanics import our_planner
from tests.mechanics.closed_loop import PLACES, Brief
from tests.mechanics.plant import LAYOUTS, Layout, Plant

NOMINAL_EA_N_PER_MM = 109.0
LOGGED, ASKED = 10, 4
# nine readings before and nine after, each off by 0.42 N/cm, and what the wrench adds
CHANGE_SD_N_PER_CM = 0.22


@dataclass(frozen=True)
class Lesson:
    """Errors of prediction (N/cm) with factor 1 and with the one learned; bands that held."""

    before: list[float]
    after: list[float]
    held: list[bool]


def changes(plant: Plant, brief: Brief, rounds: int) -> list[tuple[float, float]]:
    """Mean tension in x: predicted change with factor 1 and observed change, round by round."""
    out = []
    state = our_planner.unread(brief)
    sides = [n for n in brief.layout.names if n[0] in "BD"]
    # the larger the frame, the more turns it takes to change the reading
    turn = max(6, 6 * round(4 * brief.layout.inside_a_mm / 400))
    for i in range(rounds):
        before = np.mean([x for x, _ in plant.read(brief.places)])
        turns = dict.fromkeys(sides, turn if i % 2 == 0 else -turn // 2)
        asked = what_if(state, turns, brief.places).change[:, 0].mean()
        plant.turn({n: k / 48 for n, k in turns.items()})
        plant.nip_up()
        after = np.mean([x for x, _ in plant.read(brief.places)])
        out.append((float(asked), float(after - before)))
    return out


def lesson(seed: int, layout: Layout, off: float) -> Lesson:
    """One screen whose mesh is ``off`` times as stiff as its card says."""
    plant = Plant(seed, layout, start_n_per_cm=12.0, ex=off * NOMINAL_EA_N_PER_MM)
    brief = Brief(layout, 22.0, 1.5, 32.0, 6, 96, frozenset(), tuple(PLACES["nine"]))
    seen = changes(plant, brief, LOGGED + ASKED)
    log = [Observation("F", "M", "x", p, o, CHANGE_SD_N_PER_CM) for p, o in seen[:LOGGED]]
    factor = learn(log, "F", "M", "x")
    found = Lesson([], [], [])
    for predicted, observed in seen[LOGGED:]:
        mean, low, high = predict_change(factor, predicted, CHANGE_SD_N_PER_CM)
        found.before.append(abs(observed - predicted))
        found.after.append(abs(observed - mean))
        found.held.append(low <= observed <= high)
    return found


def lessons(seeds: Iterable[int], layouts: Sequence[Layout] = LAYOUTS) -> Lesson:
    """Stiffer and softer by 40 % in turn, all together."""
    every = [lesson(seed, layout, 1.4 if seed % 2 else 0.6) for seed in seeds for layout in layouts]
    return Lesson(*([x for e in every for x in getattr(e, k)] for k in ("before", "after", "held")))


if __name__ == "__main__":
    found = lessons(range(int(sys.argv[1]) if len(sys.argv) > 1 else 10))
    before, after = np.mean(found.before), np.mean(found.after)
    print(f"{len(found.held)} predictions: {before:.2f} N/cm off with the card's stiffness,")
    print(f"{after:.2f} ({after / before:.0%}) with what ten plans taught;")
    print(f"{np.mean(found.held):.0%} inside their 90 % band")
