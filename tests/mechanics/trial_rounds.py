"""Rounds that a plan announces against the rounds that were then needed.

    python -m tests.mechanics.trial_rounds [screens per layout]

Screens of the independent plant from 14 N/cm to 22 within 1.5, until the plan leaves them alone;
end bolts wait in the first round. Printed: needed less announced.
"""

import sys
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from frames.mechanics import Aim, Limits, State, TensionPlan, after_readings, plan_tension
from tests.mechanics.closed_loop import PLACES, Brief, Reading, Round, kept
from tests.mechanics.our_planner import after_trip, taken, unread
from tests.mechanics.plant import LAYOUTS, Layout, Plant

TARGET, TOLERANCE, START, MOST = 22.0, 1.5, 14.0, 12


@dataclass(frozen=True)
class Announced:
    """``round`` from 0, what the plan said (`status`), rounds ``said`` and ``needed``."""

    round: int
    status: str
    said: int
    needed: int


def one_screen(seed: int, layout: Layout, places: str) -> list[Announced]:
    plant = Plant(seed, layout, start_n_per_cm=START)
    at = tuple(PLACES[places])
    brief = Brief(layout, TARGET, TOLERANCE, 32.0, 6, 96, frozenset(), at)
    said, last, state = [], None, unread(brief)
    for number in range(MOST):
        readings = [Reading(*p, *r) for p, r in zip(at, plant.read(at), strict=True)]
        state = after_readings(after_trip(state, brief, last) if last else state, taken(readings))
        plan = planned(state, readings, number == 0)
        if plan.status == "leave":
            break
        said.append((plan.status, plan.rounds))
        turns = kept(brief, plan.turns_48ths)
        plant.turn({bolt: turn / 48 for bolt, turn in turns.items()})
        nipped = {bolt: round(48 * turn) for bolt, turn in plant.nip_up().items()}
        plant.rest()
        last = Round(readings, turns, nipped)
    return [Announced(i, *one, len(said) - i) for i, one in enumerate(said)]


def planned(state: State, readings: Sequence[Reading], first: bool) -> TensionPlan:
    limits = Limits(cap_n_per_cm=32.0, first_round=first)
    return plan_tension(state, Aim(TARGET, TOLERANCE), limits, taken(readings))


def announced(seeds: Iterable[int], layouts: Sequence[Layout] = LAYOUTS) -> list[Announced]:
    return [
        one
        for seed in seeds
        for layout in layouts
        for places in ("nine", "one")
        for one in one_screen(seed, layout, places)
    ]


def main(per_layout: int) -> None:
    every = announced(range(per_layout))
    for name, status, first in (
        ("first round, more to go", "towards", True),
        ("later, more to go", "towards", False),
        ("later, the last", "reaches", False),
    ):
        off = [
            one.needed - one.said
            for one in every
            if one.status == status and (one.round == 0) == first
        ]
        told = f"median {np.median(off):g}, mean {np.mean(off):+.2f}"
        short, long = np.mean(np.array(off) > 0), np.mean(np.array(off) < 0)
        print(f"{name}: {len(off)}, {told}, more needed {short:.0%}, fewer {long:.0%}")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 10)
