"""Writes the numbers and words that the phone's arithmetic shares with the library.

Run `python -m tests.vectors.advice_numbers` after a change of one; a test compares them.
"""

import dataclasses
import json
from importlib import import_module

from shopfloor.launch import pages

FILE = pages.FOLDER / "src/phone/advice/numbers.js"
HEAD = "// Written by `python -m tests.vectors.advice_numbers` from the library: change it there.\n"
MECHANICS = {
    "adjusters": "Adjuster",
    "bolts": "PER_TURN STEPS",
    "cautions": "ALWAYS ON_PRESS",
    "cloth": "MODULUS_GPA CRIMP Mesh",
    "contact": "GROUND_N_PER_MM FORCE_TOLERANCE LOOSE_MM",
    "corners": "CORNERS WAYS EFFORT",
    "decomposition": "NAMES WORDS PRIOR_MM OPEN_SHARE",
    "faults": "LONGEST_H",
    "layout": "EDGE_CLEARANCE_MM",
    "limits": "HARD_TURNS Limits",
    "marks": "ALARM EYE_MM Mark",
    "misfit": "Roughness",
    "register": "ENOUGH STRETCHES",
    "register_plan": "WORSE SLACK_MM DIGITS",
    "register_program": "UNREAD_N_PER_CM NO_WORSE_N_PER_CM RegisterAim",
    "resting": "LOST LOST_SD SOON_H HANDLED_SD",
    "rounding": "NEAR DIGITS",
    "stand_out": "MEASURED_MM",
    "state": "Doubt WIDEST HIGHEST_N_PER_CM DRIFT FARTHEST_MM",
    "strip": "QUADRATURE",
    "tension_plan": "WORTH",
    "tension_program": "SURE UNKNOWN_N_PER_CM Aim",
    "under_cap": "TRIES SHARES NEAR_N_PER_CM",
    "uneven": "Unevenness",
}
ADVICE = {
    "answers": "VERSION WIDEST_BAND_N_PER_CM TIE",
    "outcomes": "CELLS GRID",
    "registering": "KINDS DEFAULT_TOLERANCE_MM LEAST_MOVE_MM FACTOR_RANGE OUT",
    "setup": "LEAST_LIMIT_48THS BAR_EI_N_CM2 WITHOUT_STENCIL_MM",
    "tensioning": "STENCIL_SHIFT_SD STENCIL_ON",
    "wire": "SCALE FIRST_LEVEL_N_PER_CM NOTHING_LEARNED",
}


def plain(value: object) -> object:
    """Constants as they are; of a class of settings its defaults."""
    if not dataclasses.is_dataclass(value):
        return value.tolist() if hasattr(value, "tolist") else value
    told = {f.name: f.default for f in dataclasses.fields(value)}
    return {
        name: default
        for name, default in told.items()
        if default is None or isinstance(default, int | float | str)
    }


def text() -> str:
    groups = {
        module: {
            name: plain(getattr(import_module(f"{home}.{module}"), name)) for name in names.split()
        }
        for home, rows in (("frames.mechanics", MECHANICS), ("frames.advice", ADVICE))
        for module, names in rows.items()
    }
    told = [f"export const {name} = {json.dumps(its, indent=2)};\n" for name, its in groups.items()]
    return HEAD + "\n".join(["", *told])


if __name__ == "__main__":
    FILE.write_text(text(), encoding="utf-8")
