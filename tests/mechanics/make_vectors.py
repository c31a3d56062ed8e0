"""Writes the vectors by which the phone's own arithmetic is held to the library's.

    python -m tests.mechanics.make_vectors

Seeded and without a clock: the same code writes the same files. A test compares them.
"""

import json
from collections.abc import Iterable
from pathlib import Path

import numpy as np

from frames.mechanics import (
    Aim,
    Bar,
    Bolt,
    Layout,
    Limits,
    Mark,
    Mesh,
    Reading,
    RegisterAim,
    State,
    Strip,
    after_readings,
    after_turns,
    begin,
    plan_register,
    plan_tension,
)
from frames.mechanics.quadratic import solve
from frames.mechanics.uneven import Unevenness

from .random_programs import random_program

FOLDER = Path(__file__).resolve().parents[1] / "vectors"
DIGITS = 12
BASIS = Unevenness(3, 1)
FRAMES = (
    Layout.evenly(400, 500, 4, 5, Bar(3e6, 20)),
    Layout(800, 1000, {"A": (60, 300, 520, 740), "B": (90, 500, 910), "C": (400,), "D": (80, 920)}),
    Layout.evenly(1000, 1000, 7, 7),
)
NINE = [(u, v) for v in (0.2, 0.5, 0.8) for u in (0.2, 0.5, 0.8)]


def plain(value: object) -> object:
    """Arrays as lists of numbers of 12 digits; infinite as null."""
    array = np.asarray(value, float)
    flat = [None if np.isinf(x) else float(f"{x:.{DIGITS}g}") + 0.0 for x in array.ravel()]
    return np.array(flat, object).reshape(array.shape).tolist()


def programs() -> list[dict]:
    out = []
    for seed in range(40):
        p, s = random_program(seed), solve(random_program(seed))
        case = {
            k: plain(getattr(p, k)) for k in ("h", "f", "low", "high", "a", "row_low", "row_high")
        }
        out.append({**case, "status": s.status, "x": plain(s.x) if s.ok else None})
    return out


def frame_of(layout: Layout) -> dict:
    return {
        "inside_a_mm": layout.inside_a_mm,
        "inside_b_mm": layout.inside_b_mm,
        "bolts": {side: list(places) for side, places in layout.bolts.items()},
        "ei_n_cm2": layout.bar.ei_n_cm2,
    }


def mesh_of(mesh: Mesh) -> dict:
    names = ("ex_n_per_cm", "ey_n_per_cm", "coupling")
    return {name: getattr(mesh, name) for name in names}


def strips() -> list[dict]:
    out = []
    for i, layout in enumerate(FRAMES):
        mesh = Mesh(1000 + 100 * i, 900, 0.05)
        strip, places = Strip(layout, mesh), np.random.default_rng(i).uniform(0, 1, (6, 2)).round(3)
        answers = {
            "tension": strip.tension(places),
            "displacement": strip.displacement(places),
            "bending": strip.bending,
            "spring": strip.spring,
        }
        known = {"frame": frame_of(layout), "mesh": mesh_of(mesh), "places": plain(places)}
        out.append({**known, **{k: plain(v) for k, v in answers.items()}})
    return out


def readings_of(seed: int, level: float) -> list[Reading]:
    r = np.random.default_rng(seed)
    spread = r.normal(0, 0.8, (9, 2))
    values = np.round((level + spread) * 2) / 2
    return [Reading(u, v, float(x), float(y)) for (u, v), (x, y) in zip(NINE, values, strict=True)]


def told(readings: Iterable[Reading]) -> list[list[float | None]]:
    return [[r.u, r.v, r.along_a_n_per_cm, r.across_a_n_per_cm] for r in readings]


def tension_case(number: int, layout: Layout, step: int, level: float, limits: Limits) -> dict:
    mesh = Mesh(1090, 1000)
    state = begin(Strip(layout, mesh), Bolt(25.4 / 18, step), basis=BASIS)
    first, latest = readings_of(number, level - 4), readings_of(number + 50, level)
    turns = dict.fromkeys(layout.names, 1.0)
    state = after_readings(after_turns(after_readings(state, first), turns), latest)
    plan = plan_tension(state, Aim(22, 1.0), limits, latest)
    return {
        "frame": frame_of(layout),
        "mesh": mesh_of(mesh),
        "bolt": {"pitch_mm": state.bolt.pitch_mm, "step_48ths": step},
        "first_readings": told(first),
        "turns": turns,
        "readings": told(latest),
        "limits": limits_of(limits),
        "aim": {"target_n_per_cm": 22, "tolerance_n_per_cm": 1.0},
        "state": state_of(state),
        "unrounded": None if plan.unrounded is None else plain(plan.unrounded),
        "turns_48ths": plan.turns_48ths,
        "status": plan.status,
        "message": plan.message,
        "active": list(plan.active),
        "predicted": None if plan.predicted is None else plain(plan.predicted.mean),
    }


def state_of(state: State) -> dict:
    names = ("mean", "covariance", "bar_mm", "draw_mm")
    return {name: plain(getattr(state, name)) for name in names}


def limits_of(limits: Limits) -> dict:
    return {
        "turns": limits.turns,
        "loosen_turns": limits.loosen_turns,
        "neighbour_turns": limits.neighbour_turns,
        "cap_n_per_cm": limits.cap_n_per_cm,
        "hidden": sorted(limits.hidden),
        "seized": sorted(limits.seized),
    }


def tension_plans() -> list[dict]:
    square = FRAMES[2]
    return [
        tension_case(1, FRAMES[0], 8, 20, Limits()),
        tension_case(2, FRAMES[1], 6, 18, Limits(cap_n_per_cm=30.0)),
        tension_case(3, square, 6, 20, Limits(seized={"A3"}, hidden={"C1", "C2"})),
        tension_case(4, square, 3, 14, Limits(turns=1.5, neighbour_turns=0.5)),
        tension_case(5, square, 8, 22, Limits(cap_n_per_cm=24.0)),
    ]


def register_plans() -> list[dict]:
    out = []
    for i, layout in enumerate(FRAMES):
        mesh = Mesh(1090, 1000)
        errors = np.random.default_rng(90 + i).normal(0, 0.3, (4, 2)).round(2).tolist()
        places = [(0.2, 0.2), (0.8, 0.2), (0.8, 0.8), (0.2, 0.8)]
        marks = [Mark(u, v, dx, dy) for (u, v), (dx, dy) in zip(places, errors, strict=True)]
        state = begin(Strip(layout, mesh), Bolt(25.4 / 18, 6), basis=BASIS)
        plan = plan_register(state, marks, RegisterAim(), Limits())
        out.append(
            {
                "frame": frame_of(layout),
                "mesh": mesh_of(mesh),
                "marks": [[m.u, m.v, m.dx_mm, m.dy_mm, m.sd_mm] for m in marks],
                "turns_48ths": plan.turns_48ths,
                "status": plan.status,
                "after_mm": plain(plan.after_mm),
                "arrows_mm": None if plan.arrows_mm is None else plain(plan.arrows_mm),
            }
        )
    return out


def everything() -> dict[str, dict]:
    """File name -> content."""
    basis = {k: getattr(BASIS, k) for k in ("across", "along", "slope_sd", "along_sd", "fall")}
    return {
        "qp.json": {"about": "minimise x'Hx/2 + f'x within bounds and rows", "cases": programs()},
        "strip.json": {"about": "influence per mm of bar, place by x/y by bolt", "cases": strips()},
        "plan.json": {
            "about": "state after two checks and a turn all round; one round of turns; register",
            "basis": basis,
            "tension": tension_plans(),
            "register": register_plans(),
        },
    }


def main() -> None:
    for name, content in everything().items():
        text = json.dumps(content, separators=(",", ":"), ensure_ascii=False)
        (FOLDER / name).write_text(text + "\n", "utf-8")


if __name__ == "__main__":
    main()
