"""The things of an invented shop that prints ceramic decals: no such shop, people or makers."""

import random
from typing import Any

Values = dict[str, Any]

SIZES = {
    "small": (600, 750, 5, 6),
    "middle": (850, 1050, 7, 9),
    "large": (1100, 1350, 9, 11),
    "narrow": (500, 700, 4, 6),
    "wide": (1300, 1600, 11, 13),
}
FIRST_BOLT_MM = 60


def _places(length: int, count: int) -> list[float]:
    between = (length - 2 * FIRST_BOLT_MM) / (count - 1)
    return [round(FIRST_BOLT_MM + between * place, 1) for place in range(count)]


def frame(number: int, size: str, second_name: str, lock: str) -> Values:
    a, b, along_a, along_b = SIZES[size]
    is_large = size in ("large", "wide")
    return {
        "number": number,
        "second_name": second_name,
        "profile": "boxed_u" if is_large else "ribbed_u" if size == "middle" else "plain_u",
        "inside_a_mm": a,
        "inside_b_mm": b,
        "bolts": {
            "A": _places(a, along_a),
            "B": _places(b, along_b),
            "C": _places(a, along_a),
            "D": _places(b, along_b),
        },
        "pitch_mm": 1.25 if is_large else 1.411,
        "head": "socket" if is_large else "hex",
        "step_48ths": 6 if is_large else 8,
        "lock": lock,
        "rods": "standard pair" if lock == "twin_rod" else "",
    }


FRAMES = [
    frame(401, "small", "K1", "twin_rod"),
    frame(402, "small", "K2", "twin_rod"),
    frame(403, "small", "K3", "wedge_strip"),
    frame(404, "small", "K4", "twin_rod"),
    frame(405, "middle", "T1", "twin_rod"),
    frame(406, "middle", "T2", "twin_rod"),
    frame(407, "middle", "T3", "twin_rod"),
    frame(408, "middle", "T4", "wedge_strip"),
    frame(409, "middle", "T5", "twin_rod"),
    frame(410, "large", "Long 1", "twin_rod"),
    frame(411, "large", "Long 2", "twin_rod"),
    frame(412, "large", "Long 3", "wedge_strip"),
]


def mesh(count: int, inch: int, thread: int, target: float, cap: float, **more: Any) -> Values:
    return {
        "name": f"{count}-{thread} polyester",
        "material": "polyester",
        "count_per_cm": count,
        "count_per_inch": inch,
        "thread_um": thread,
        "target_n_per_cm": target,
        "tolerance_n_per_cm": 1.5,
        "cap_n_per_cm": cap,
        **more,
    }


MESHES = {
    "32-70": mesh(32, 81, 70, 25, 32, tolerance_n_per_cm=2, note="for covercoat"),
    "77-48": mesh(77, 195, 48, 24, 30),
    "120-34": mesh(120, 305, 34, 21, 26),
    "140-31": mesh(140, 355, 31, 19, 24, note="for gold and fine line"),
}


def adjuster(name: str, right: float, away: float, moves: str, mm: float, **more: Any) -> Values:
    at = {"name": name, "right": right, "away": away, "moves": moves, "mm_per_division": mm}
    return at | {"plus": "clockwise", "minus": "anticlockwise", "division": "turns"} | more


PRESSES = {
    "flatbed": {
        "name": "Flatbed",
        "stations": 1,
        "clamps": [{"side": "near"}, {"side": "far"}],
        "adjusters": [
            adjuster("left front wheel", 0, -0.05, "away", 1.5, smallest=0.25, backlash=0.5),
            adjuster("right front wheel", 1, -0.05, "away", 1.5, smallest=0.25, backlash=0.5),
            adjuster("side wheel", 1.05, 0.5, "right", 1.25, smallest=0.25, order=1),
        ],
    },
    "line": {
        "name": "Four-station line",
        "stations": 4,
        "clamps": [{"side": "left"}, {"side": "right", "from_mm": 100, "to_mm": 420}],
        "adjusters": [
            adjuster("micro far", 0.5, 1.1, "right", 0.1, division="divisions", smallest=1),
            adjuster("micro near", 0.5, -0.1, "right", 0.1, division="divisions", smallest=1),
            adjuster("micro along", -0.1, 0.5, "away", 0.1, division="divisions", order=1),
        ],
    },
}
METERS = {
    "one": {"name": "Meter 1", "resolution_n_per_cm": 0.5},
    "two": {"name": "Meter 2", "resolution_n_per_cm": 0.2, "note": "stays in the screen room"},
    "old": {"name": "Old dial", "resolution_n_per_cm": 1, "note": "only for the flatbed"},
}
OPERATORS = {
    "Ilka": "screen room",
    "Tomas": "flatbed",
    "Ruth": "four-station line",
    "Besnik": "wherever needed",
}
MAY_TURN = {"Ilka": {"may_turn_with_stencil": True}}


def job(number: str, title: str, in_days: int, run: int, **more: Any) -> Values:
    return {
        "number": number,
        "title": title,
        "due": {"in_days": in_days},
        "run": run,
        "substrate": "gummed decal paper 170 g",
        "tolerance_mm": 0.15,
        **more,
    }


JOBS = {
    "bands": job("2611", "Tea service, rim bands", -20, 1200, done=True),
    "herbs": job("2618", "Herb garden plates", 1, 900),
    "mug": job("2623", "Harbour mug, two sides", 3, 2400, tolerance_mm=0.25),
    "gold": job("2625", "Monogram saucers, gold", 9, 300, tolerance_mm=0.1),
    "fern": job("2629", "Fern tiles, six motifs", 6, 1500),
    "strip": job("2602", "Kiln test strip", -44, 200, done=True),
}
COLOURS = {
    "bands": [("cobalt blue", "77-48"), ("grey line", "120-34"), ("covercoat", "32-70")],
    "herbs": [
        ("leaf green", "77-48"),
        ("ochre", "120-34"),
        ("black line", "120-34"),
        ("covercoat", "32-70"),
    ],
    "mug": [("iron red", "77-48"), ("covercoat", "32-70")],
    "gold": [("gold", "140-31"), ("covercoat", "32-70")],
    "fern": [
        ("pale green", "77-48"),
        ("fern green", "120-34"),
        ("brown", "120-34"),
        ("black line", "140-31"),
        ("covercoat", "32-70"),
    ],
    "strip": [("six greys", "120-34"), ("covercoat", "32-70")],
}
KEYS = {"grey line", "black line", "iron red", "gold", "six greys"}


class Book:
    """Every thing with its id, in the order in which they are made."""

    def __init__(self) -> None:
        self.random = random.Random(417)
        self.things: list[dict[str, Any]] = []
        self.shop = self._add(
            "shop",
            {
                "name": "Decal demo shop",
                "prefix": "F",
                "spots": "five",
                "prices": {"mesh": 38, "hour": 32},
            },
        )
        self.frame_values = {values["number"]: values for values in FRAMES}
        self.frames = {values["number"]: self._add("frame", values) for values in FRAMES}
        self.meshes = {name: self._add("mesh", values) for name, values in MESHES.items()}
        self.presses = {name: self._add("press", values) for name, values in PRESSES.items()}
        self.meters = {name: self._add("meter", values) for name, values in METERS.items()}
        self.operators = {
            name: self._add("operator", {"name": name, "note": note} | MAY_TURN.get(name, {}))
            for name, note in OPERATORS.items()
        }
        self.jobs = {name: self._add("job", values) for name, values in JOBS.items()}
        self.colours = {
            (job, name): self._colour(job, place, name, mesh)
            for job, colours in COLOURS.items()
            for place, (name, mesh) in enumerate(colours, 1)
        }

    def _add(self, kind: str, values: Values) -> str:
        id = self._new_id()
        self.things.append({"kind": kind, "id": id, "values": values})
        return id

    def _colour(self, job: str, place: int, name: str, mesh: str) -> str:
        values = {"job": self.jobs[job], "position": place, "name": name, "key": name in KEYS}
        return self._add("colour", values | {"mesh": self.meshes[mesh]})

    def _new_id(self) -> str:
        """A UUID of version 4, always the same ones in the same order."""
        value = self.random.getrandbits(128) & ~(0xF << 76) & ~(3 << 62) | 4 << 76 | 2 << 62
        text = f"{value:032x}"
        return "-".join((text[:8], text[8:12], text[12:16], text[16:20], text[20:]))
