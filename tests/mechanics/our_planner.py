"""The library's turn plan as a planner for the closed loop.

Everything is worked out anew from the log each time, as the server would from its entries.
"""

from collections.abc import Mapping, Sequence

import numpy as np

from frames.mechanics import (
    Aim,
    Bolt,
    Doubt,
    Layout,
    Limits,
    Mesh,
    Reading,
    State,
    Strip,
    TensionPlan,
    after_readings,
    after_turns,
    begin,
    plan_tension,
)
from frames.mechanics.uneven import Unevenness

TRIAL_TOLERANCE = 0.6  # so that the loop goes on polishing where a shop would stop


def strip_of(brief: object) -> Strip:
    """The strip model of the brief's frame with the mesh card's stiffness."""
    b = brief.layout
    frame = Layout(b.inside_a_mm, b.inside_b_mm, {s: tuple(b.bolts[s]) for s in "ABCD"})
    return Strip(frame, Mesh(*brief.nominal_ea_n_per_cm))


def believed(
    brief: object,
    log: Sequence[object],
    readings: Sequence[object],
    doubt: Doubt | None = None,
    basis: Unevenness | None = None,
) -> State:
    """The estimate after the log and the latest readings."""
    strip = strip_of(brief)
    frame = strip.layout
    can = np.array([n not in brief.fixed for n in frame.names])
    bolt = Bolt(brief.layout.pitch_mm, brief.step_48ths)
    state = begin(strip, bolt, doubt, basis, level_n_per_cm=6)
    for done in log:
        state = after_readings(state, [taken(r) for r in done.readings])
        turns = {n: k / 48 for n, k in done.asked.items()}
        nipped = {n: k / 48 for n, k in done.nipped.items()}
        state = after_turns(state, turns, can, nipped=nipped)
    return after_readings(state, [taken(r) for r in readings])


def taken(r: object) -> Reading:
    return Reading(r.u, r.v, r.along_a_n_per_cm, r.across_a_n_per_cm)


def full_plan(
    brief: object, log: Sequence[object], readings: Sequence[object], aim: Aim | None = None
) -> TensionPlan:
    """The whole answer, not the turns alone."""
    state = believed(brief, log, readings)
    limits = Limits(
        turns=brief.limit_48ths / 48,
        cap_n_per_cm=brief.cap_n_per_cm,
        seized=frozenset(brief.fixed),
        first_round=not log,
    )
    aim = aim or Aim(brief.target_n_per_cm, TRIAL_TOLERANCE)
    return plan_tension(state, aim, limits, [taken(r) for r in readings])


def plan(brief: object, log: Sequence[object], readings: Sequence[object]) -> Mapping[str, int]:
    """Turns for the closed loop."""
    return full_plan(brief, log, readings).turns_48ths
