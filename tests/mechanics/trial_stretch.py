"""Seeded stretches on the independent plant, from slack mesh until nine readings are in tolerance.

Ours: coarse rounds as the phone asks for them, then plans from readings. Beside it the plain
staged rule (common practice, no source): rounds of two turns, the end bolts waiting in the first,
until the middle reads four fifths of the target; then each bolt by the deficit of the reading
nearest to it.

    python -m tests.mechanics.trial_stretch [stretches per layout]
"""

import sys
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from frames.fitting import coarse_round
from frames.mechanics import Aim, Limits
from frames.mechanics.corners import ease_corners
from tests.mechanics.closed_loop import (
    NOMINAL_EA,
    PLACES,
    Brief,
    Reading,
    Round,
    Watch,
    kept,
)
from tests.mechanics.hand_rule import felt
from tests.mechanics.our_planner import believed
from tests.mechanics.our_planner import plan as planned
from tests.mechanics.plant import LAYOUTS, Layout, Plant

TARGET, TOLERANCE, CAP = 22.0, 1.5, 32.0
SLACK_N_PER_CM, MOST_ROUNDS, COARSE, LIMIT_48THS = 1.0, 14, 2, 96
MESH = {"material": "polyester", "count_per_cm": 120, "thread_um": 34, "target_n_per_cm": TARGET}

Planner = Callable[[Brief, Sequence[Round], list[Reading]], Mapping[str, int]]


@dataclass(frozen=True)
class Stretch:
    """``rounds`` until all nine readings were in tolerance (None: never), N/cm for the rest."""

    rounds: int | None
    largest: float
    corners: float
    spread: float


def guided(brief: Brief, log: Sequence[Round], readings: list[Reading]) -> Mapping[str, int]:
    """What the phone asks for."""
    if len(log) == COARSE and (eased := easing(brief, log, readings)):
        return eased
    return uneased(brief, log, readings)


def easing(brief: Brief, log: Sequence[Round], readings: list[Reading]) -> Mapping[str, int]:
    """End bolts to ease after the coarse rounds, if a corner has climbed."""
    state = believed(brief, log, readings)
    return ease_corners(state, Aim(TARGET, TOLERANCE), Limits(cap_n_per_cm=CAP)).turns_48ths


def uneased(brief: Brief, log: Sequence[Round], readings: list[Reading]) -> Mapping[str, int]:
    """The same, with the corners left to the plans."""
    if len(log) >= COARSE:
        return planned(brief, log, readings)
    frame = {
        "inside_a_mm": brief.layout.inside_a_mm,
        "inside_b_mm": brief.layout.inside_b_mm,
        "bolts": brief.layout.bolts,
        "pitch_mm": brief.layout.pitch_mm,
        "step_48ths": brief.step_48ths,
    }
    return coarse_round(frame, MESH, {}, len(log) + 1, COARSE, brief.limit_48ths)


def staged(brief: Brief, log: Sequence[Round], readings: list[Reading]) -> dict[str, int]:
    """The plain staged rule."""
    [middle] = [r for r in readings if (r.u, r.v) == (0.5, 0.5)]
    reads = (middle.along_a_n_per_cm + middle.across_a_n_per_cm) / 2
    if reads < 0.8 * brief.target_n_per_cm:
        first = not log
        return {
            bolt: brief.limit_48ths
            for bolt in brief.layout.names
            if not (first and ends(brief, bolt))
        }
    return {bolt: by_nearest(brief, readings, bolt) for bolt in brief.layout.names}


def ends(brief: Brief, bolt: str) -> bool:
    count = len(brief.layout.bolts[bolt[0]])
    return count > 2 and int(bolt[1:]) in (1, count)


def by_nearest(brief: Brief, readings: list[Reading], bolt: str) -> int:
    """Turn by the deficit at the nearest reading, at the stiffness that the card makes expect."""
    layout, side = brief.layout, bolt[0]
    at = np.array([(r.u * layout.inside_a_mm, r.v * layout.inside_b_mm) for r in readings])
    nearest = readings[int(np.hypot(*(at - layout.place(bolt)).T).argmin())]
    span = layout.inside_b_mm if side in "AC" else layout.inside_a_mm
    per_turn = 2 * layout.pitch_mm / span * NOMINAL_EA[1 if side in "AC" else 0]
    steps = round((brief.target_n_per_cm - felt(nearest, side)) / per_turn * 48 / brief.step_48ths)
    most = brief.limit_48ths // brief.step_48ths
    return brief.step_48ths * max(-most, min(most, steps))


def stretch(planner: Planner, seed: int, layout: Layout) -> Stretch:
    """One mesh from slack to tolerance."""
    plant = Plant(seed, layout, start_n_per_cm=SLACK_N_PER_CM)
    brief = Brief(
        layout, TARGET, TOLERANCE, CAP, 6, LIMIT_48THS, frozenset(), tuple(PLACES["nine"])
    )
    watch, log = Watch(brief), []
    for number in range(MOST_ROUNDS + 1):
        pairs = zip(brief.places, plant.read(brief.places), strict=True)
        readings = [Reading(*place, *read) for place, read in pairs]
        if within(readings):
            return scored(plant, watch, number)
        asked = kept(brief, planner(brief, tuple(log), readings))
        plant.turn({bolt: turn / 48 for bolt, turn in asked.items()})
        watch.largest_of(plant)
        nipped = {bolt: round(48 * turn) for bolt, turn in plant.nip_up().items()}
        plant.rest()
        log.append(Round(readings, asked, nipped))
        watch.see(plant, counted=True)
    return scored(plant, watch, None)


def within(readings: list[Reading]) -> bool:
    both = [(r.along_a_n_per_cm, r.across_a_n_per_cm) for r in readings]
    return bool((np.abs(np.array(both) - TARGET) <= TOLERANCE).all())


def scored(plant: Plant, watch: Watch, rounds: int | None) -> Stretch:
    corners = plant.tension_at([(u, v) for u in (0.08, 0.92) for v in (0.08, 0.92)])
    inner = plant.tension_at(watch.inner).mean(axis=1)
    return Stretch(rounds, watch.largest, float(corners.max()), float(inner.max() - inner.min()))


def trial(planner: Planner, per_layout: int) -> list[Stretch]:
    return [stretch(planner, seed, layout) for seed in range(per_layout) for layout in LAYOUTS]


def told(name: str, done: list[Stretch]) -> str:
    ended = [one.rounds for one in done if one.rounds is not None]
    figures = {
        "largest on the way": [one.largest for one in done],
        "highest corner": [one.corners for one in done],
        "final spread": [one.spread for one in done],
    }
    lines = [f"{name}: {len(ended)} of {len(done)} in tolerance within {MOST_ROUNDS} rounds"]
    if ended:
        lines.append(f"  rounds {np.median(ended):g}, {np.percentile(ended, 90):g}")
    lines += [
        f"  {what} {np.median(values):.1f}, {np.percentile(values, 90):.1f} N/cm"
        for what, values in figures.items()
    ]
    return "\n".join(lines) + "  (median, 90th percentile)"


if __name__ == "__main__":
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 20
    for planner in (guided, uneased, staged):
        print(told(planner.__name__, trial(planner, count)), flush=True)
