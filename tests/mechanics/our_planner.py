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

TRIAL_TOLERANCE = 0.6  # so that the loop goes on polishing where a shop would stop


def strip_of(brief: object) -> Strip:
    """The strip model of the brief's frame with the mesh card's stiffness."""
    b = brief.layout
    frame = Layout(b.inside_a_mm, b.inside_b_mm, {s: tuple(b.bolts[s]) for s in "ABCD"})
    return Strip(frame, Mesh(*brief.nominal_ea_n_per_cm))


def believed(
    brief: object, log: Sequence[object], readings: Sequence[object], doubt: Doubt | None = None
) -> State:
    """The estimate after the log and the latest readings."""
    state = unread(brief, doubt)
    for done in log:
        state = after_trip(after_readings(state, taken(done.readings)), brief, done)
    return after_readings(state, taken(readings))


def unread(brief: object, doubt: Doubt | None = None) -> State:
    """The estimate of a screen just locked in."""
    bolt = Bolt(brief.layout.pitch_mm, brief.step_48ths)
    return begin(strip_of(brief), bolt, doubt, level_n_per_cm=6)


def after_trip(state: State, brief: object, done: object) -> State:
    """The estimate after a trip round the frame, nipping up counted."""
    can = np.array([n not in brief.fixed for n in state.layout.names])
    turns = {n: k / 48 for n, k in done.asked.items()}
    nipped = {n: k / 48 for n, k in done.nipped.items()}
    return after_turns(state, turns, can, nipped=nipped)


def taken(readings: Sequence[object]) -> list[Reading]:
    return [Reading(r.u, r.v, r.along_a_n_per_cm, r.across_a_n_per_cm) for r in readings]


def full_plan(
    brief: object, log: Sequence[object], readings: Sequence[object], aim: Aim | None = None
) -> TensionPlan:
    """The whole answer, not the turns alone."""
    return advised(brief, log, readings, believed(brief, log, readings), aim)


def advised(
    brief: object,
    log: Sequence[object],
    readings: Sequence[object],
    state: State,
    aim: Aim | None = None,
) -> TensionPlan:
    """The plan from an estimate."""
    limits = Limits(
        turns=brief.limit_48ths / 48,
        cap_n_per_cm=brief.cap_n_per_cm,
        seized=frozenset(brief.fixed),
        first_round=not log,
    )
    aim = aim or Aim(brief.target_n_per_cm, TRIAL_TOLERANCE)
    return plan_tension(state, aim, limits, taken(readings))


def plan(brief: object, log: Sequence[object], readings: Sequence[object]) -> Mapping[str, int]:
    """Turns for the closed loop."""
    return full_plan(brief, log, readings).turns_48ths


class Operator:
    """Follows the plans of one screen after another, and reads where told to read next."""

    def __init__(self) -> None:
        self.state: State | None = None
        self.last: TensionPlan | None = None

    def plan(
        self, brief: object, log: Sequence[object], readings: Sequence[object]
    ) -> Mapping[str, int]:
        """The same turns as `plan`, with the estimate carried along instead of worked out anew."""
        state = after_trip(self.state, brief, log[-1]) if log else unread(brief)
        self.state = after_readings(state, taken(readings))
        self.last = advised(brief, log, readings, self.state)
        return self.last.turns_48ths

    def told(self, brief: object, log: Sequence[object]) -> list[tuple[float, float]]:
        """The place that the plan before asked for."""
        return [self.last.read_next] if log and self.last.read_next else []
