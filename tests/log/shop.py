"""Good values for every kind of thing."""

from typing import Any

from frames import things
from frames.models import Thing

Values = dict[str, Any]


def frame_values(**changes: Any) -> Values:
    return {
        "profile": "plain_u",
        "inside_a_mm": 600,
        "inside_b_mm": 750,
        "bolts": {
            "A": [60, 180, 300, 420, 540],
            "B": [60, 218, 375, 533, 690],
            "C": [60, 180, 300, 420, 540],
            "D": [60, 218, 375, 533, 690],
        },
        "pitch_mm": 1.411,
        "head": "hex",
        "step_48ths": 8,
        "lock": "twin_rod",
    } | changes


def mesh_values(**changes: Any) -> Values:
    return {
        "name": "120-34",
        "material": "polyester",
        "count_per_cm": 120,
        "count_per_inch": 305,
        "thread_um": 34,
        "cap_n_per_cm": 26,
        "target_n_per_cm": 21,
        "tolerance_n_per_cm": 1.5,
    } | changes


VALUES: dict[str, Values] = {
    "shop": {"name": "Test shop", "prefix": "F"},
    "frame": frame_values(),
    "mesh": mesh_values(),
    "press": {"name": "Flatbed", "stations": 1, "clamps": [{"side": "near"}]},
    "meter": {"name": "Meter 1", "resolution_n_per_cm": 0.5},
    "operator": {"name": "Ilka"},
    "job": {"number": "2611", "title": "Rim bands", "due": "2026-12-01", "tolerance_mm": 0.2},
}


def furnished() -> dict[str, Thing]:
    """One of each kind, colour included."""
    made = {kind: things.create(kind, values, "test") for kind, values in VALUES.items()}
    colour = {
        "job": str(made["job"].id),
        "position": 1,
        "name": "blue",
        "mesh": str(made["mesh"].id),
    }
    return made | {"colour": things.create("colour", colour, "test")}
