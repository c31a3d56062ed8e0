"""The fair hand rule: what a careful person does with a meter, a wrench and a memory.

Every bolt is turned by the deficit at the reading nearest to it, half averaged with the row
of readings along its side. How much a turn gives is learned for each direction from what the
last trip round the frame changed. Loose bolts are nipped up after each trip.
"""

from collections.abc import Sequence

import numpy as np

from tests.mechanics.closed_loop import Brief, Reading, Round

ENOUGH_TURN = 0.25  # mean turns below which a change teaches more about noise than about mesh
BELIEVED = (0.4, 2.0)  # a gain learned outside this share of the expected one is not believed


def plan(brief: Brief, log: Sequence[Round], readings: list[Reading]) -> dict[str, int]:
    """Turns in 48ths for every bolt that can be turned."""
    turns = {}
    for sides in ("AC", "BD"):
        gain = learned_gain(brief, log, readings, sides)
        for bolt in brief.layout.names:
            if bolt[0] in sides and bolt not in brief.fixed:
                wanted = deficit(brief, readings, bolt) / gain * 48
                steps = round(wanted / brief.step_48ths)
                most = brief.limit_48ths // brief.step_48ths
                turns[bolt] = brief.step_48ths * max(-most, min(most, steps))
    return turns


def felt(reading: Reading, side: str) -> float | None:
    """The reading in the direction that bolts of this side pull."""
    return reading.across_a_n_per_cm if side[0] in "AC" else reading.along_a_n_per_cm


def deficit(brief: Brief, readings: list[Reading], bolt: str) -> float:
    """Half the nearest reading's deficit and half that of the row along the bolt's side."""
    side, layout = bolt[0], brief.layout
    known = [reading for reading in readings if felt(reading, side) is not None]
    if not known:
        return 0.0
    missing = np.array([brief.target_n_per_cm - felt(reading, side) for reading in known])
    at = np.array([(r.u * layout.inside_a_mm, r.v * layout.inside_b_mm) for r in known])
    nearest = np.hypot(*(at - layout.place(bolt)).T).argmin()
    across = {"A": at[:, 1], "B": -at[:, 0], "C": -at[:, 1], "D": at[:, 0]}[side]
    row = across <= across.min() + 1.0
    return float(missing[nearest] + missing[row].mean()) / 2


def learned_gain(brief: Brief, log: Sequence[Round], readings: list[Reading], sides: str) -> float:
    """N/cm for one turn on every bolt of both sides: expected at first, then as last seen."""
    span = brief.layout.inside_b_mm if sides == "AC" else brief.layout.inside_a_mm
    stiff = brief.nominal_ea_n_per_cm[1 if sides == "AC" else 0]
    expected = 2 * brief.layout.pitch_mm / span * stiff
    seen = [*(done.readings for done in log), readings]
    for before, after in reversed(list(zip(log, seen[1:], strict=True))):
        turned = [before.asked.get(bolt, 0) / 48 for bolt in brief.layout.names if bolt[0] in sides]
        mean_turn = sum(turned) / len(turned)
        changes = [
            felt(now, sides) - felt(then, sides)
            for then, now in zip(before.readings, after, strict=True)
            if felt(now, sides) is not None and felt(then, sides) is not None
        ]
        if abs(mean_turn) >= ENOUGH_TURN and changes:
            gain = float(np.mean(changes)) / mean_turn
            return float(np.clip(gain, BELIEVED[0] * expected, BELIEVED[1] * expected))
    return expected
