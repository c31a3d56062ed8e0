"""What a frame asks for when mesh is fitted to it: piece, setting of the bars, coarse rounds.

The phone works out the same from the same rules (views/stretch/rules.js); a test compares them.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from frames.forms import Stretching
from frames.mechanics.cloth import stiffness_range
from frames.mechanics.frame_side import piece_mm, pre_bow_turns

PER_TURN = 48
# of the target: readings and plans do the rest, since no table knows a mesh's stiffness well
SHARE = 0.6
SIDES = "ABCD"
Body = Mapping[str, Any]


@dataclass(frozen=True)
class Fitting:
    """``piece`` along A and B, mm; ``pre_bow`` and ``rounds`` as bolt -> turn in 48ths, bolts that
    stay left out, and no rounds before the mesh is known; ``rods`` from the shop's table, else as
    they stand on the frame."""

    piece: tuple[int, int]
    pre_bow: dict[str, int]
    rounds: list[dict[str, int]]
    rods: str


def length_of(frame: Body, side: str) -> float:
    """Inside length along a side, mm."""
    return frame["inside_a_mm"] if side in "AC" else frame["inside_b_mm"]


def pre_bow(frame: Body, bow_mm: float) -> dict[str, int]:
    """Turns before the mesh goes in, rounded to the frame's step."""
    step, turns = frame["step_48ths"], {}
    for side in SIDES:
        places = frame["bolts"].get(side, [])
        asked = pre_bow_turns(places, length_of(frame, side), bow_mm, frame["pitch_mm"])
        for number, turn in enumerate(asked, 1):
            if steps := math.floor(turn * PER_TURN / step + 0.5):
                turns[f"{side}{number}"] = steps * step
    return turns


def coarse_turn(frame: Body, side: str, mesh: Body, rounds: int, limit: int) -> int:
    """What the bolts of a side turn in each coarse round, 48ths: within the shop's limit, and so
    little that all rounds together stay below `SHARE` of the target on the stiffest such mesh."""
    across = frame["inside_b_mm"] if side in "AC" else frame["inside_a_mm"]
    stiffest = stiffness_range(
        mesh["material"], mesh["count_per_cm"], mesh["thread_um"]
    ).high_n_per_cm
    per_turn = stiffest * 2 * frame["pitch_mm"] / across
    most = SHARE * mesh["target_n_per_cm"] / per_turn / rounds * PER_TURN
    step = frame["step_48ths"]
    return max(step, math.floor(min(limit, most) / step) * step)


def coarse_round(
    frame: Body, mesh: Body, stuck: Mapping[str, str], number: int, of: int, limit: int
) -> dict[str, int]:
    """A round of equal turns on opposite sides; the end bolts of a side wait in the first, stuck
    bolts always."""
    bolts = {}
    for side in SIDES:
        count = len(frame["bolts"].get(side, []))
        turn = coarse_turn(frame, side, mesh, of, limit)
        for bolt in range(1, count + 1):
            waits = number == 1 and count > 2 and bolt in (1, count)
            if not waits and f"{side}{bolt}" not in stuck:
                bolts[f"{side}{bolt}"] = turn
    return bolts


def rods_for(frame: Body, mesh: Body | None, rules: Stretching) -> str:
    """Rods or strip for a mesh."""
    for row in rules.rods if mesh else []:
        fine = row.from_per_cm <= mesh["count_per_cm"] <= row.to_per_cm
        if row.material == mesh["material"] and fine:
            return row.rods
    return frame["rods"]


def fitting(
    frame: Body, mesh: Body | None, shop: Body, stuck: Mapping[str, str] | None = None
) -> Fitting:
    """All of it for a frame and, if it is known already, a mesh.

    Parameters
    ----------
    frame, mesh, shop : bodies of things
    stuck : bolts that do not turn, with why
    """
    rules = Stretching.model_validate(shop["stretching"])
    around = rules.bar_out_mm, rules.lock_mm, rules.overhang_mm
    return Fitting(
        piece=tuple(math.ceil(piece_mm(length_of(frame, side), *around)) for side in "AB"),
        pre_bow=pre_bow(frame, rules.pre_bow_mm),
        rounds=[
            coarse_round(
                frame, mesh, stuck or {}, number, rules.coarse_rounds, shop["round_limit_48ths"]
            )
            for number in range(1, rules.coarse_rounds + 1)
            if mesh
        ],
        rods=rods_for(frame, mesh, rules),
    )
