"""A shop whose frames are also screens of the independent plant: what is turned can be felt."""

import json
from typing import Any

from tests.browser.small_shop import PASSWORD
from tests.mechanics.plant import Layout
from tests.mechanics.plant.layouts import PITCH_5_16_18_MM, even
from tests.shop_process import ShopProcess

TARGET_N_PER_CM, TOLERANCE_N_PER_CM = 22.0, 1.5

FURNISH = """
import json
from datetime import UTC, datetime, timedelta
from django.contrib.auth.models import Group, User
from frames import log, things
from tests.browser import plan_shop
from tests.browser.small_shop import let_in, mesh_values

now = datetime.now(UTC)
make = lambda kind, **values: things.create(kind, values, "tests")
made = {"shop": make("shop", name="Bay Street Signs", prefix="F")}
made["mesh"] = make("mesh", **(mesh_values() | {"cap_n_per_cm": 32, "target_n_per_cm": 22}))
made["meter"] = make("meter", name="Meter 2", resolution_n_per_cm=0.5)
made["operator"] = make("operator", name="Ines")
made["job"] = make("job", number="2611", title="Cafe boards", due="2026-12-24", run=400,
                   substrate="board", tolerance_mm=0.1)
made["colour"] = make("colour", job=str(made["job"].pk), position=1, name="Key black",
                      ink="black", mesh=str(made["mesh"].pk), key=True)
for name, values in plan_shop.presses().items():
    made[name] = make("press", **values)
codes, count = {}, 0
for name, layout in plan_shop.LAYOUTS.items():
    frame = make("frame", **plan_shop.frame_values(layout, 500 + len(codes)))
    made[name], codes[name] = frame, frame.code
    for kind in ["mesh_fitted", *(["coated"] if name in plan_shop.COATED else [])]:
        count += 1
        at = now - timedelta(hours=3) + timedelta(minutes=count)
        entry = plan_shop.entry(made, name, kind, count, at)
        receipts = log.append([entry], device="tests", received_at=now)
        assert receipts[0].status == "stored", receipts
user = User.objects.create_user("manager", password="MANAGER")
user.groups.add(Group.objects.get_or_create(name="manager")[0])
told = {kind: str(thing.pk) for kind, thing in made.items()}
cookies = [let_in(user, label) for label in ("Phone 1", "Phone 2")]
print("TOLD" + json.dumps(told | {"codes": codes, "cookies": cookies}))
"""
INSTALL = "0193a6c0-0000-7000-8000-00000000f00d"


def layout(name: str, a: float, b: float, on_a: int, on_b: int) -> Layout:
    sides = {"A": even(a, on_a, 70.0), "B": even(b, on_b, 70.0)}
    return Layout(
        name, a, b, sides | {"C": sides["A"], "D": sides["B"]}, PITCH_5_16_18_MM, "plain_u"
    )


# Four and sixteen bolts a side to look at; six and eight, and seven on two sides, to work on.
LAYOUTS = {
    "small": layout("small", 500.0, 400.0, 4, 4),
    "bare": layout("bare", 1000.0, 800.0, 8, 6),
    "printing": layout("printing", 1000.0, 800.0, 7, 7),
    "large": layout("large", 2000.0, 1500.0, 16, 16),
}
COATED = ("printing",)
# Lying with A near, this hides the five inner bolts of seven on sides B and D.
CLAMPED = [{"side": side, "from_mm": 100, "to_mm": 700} for side in ("left", "right")]


# Two push the screen right at its near and far corner, one pushes it away; a turn is 1 mm.
SCREWS = [
    {"name": name, "right": right, "away": away, "moves": moves, "mm_per_division": 0.1}
    | {"plus": "clockwise", "minus": "anticlockwise", "division": "divisions", "order": order}
    for name, right, away, moves, order in (
        ("near screw", 0.0, 0.0, "right", 0),
        ("far screw", 0.0, 1.0, "right", 1),
        ("lay screw", 0.5, 0.0, "away", 2),
    )
]


def presses() -> dict[str, dict[str, Any]]:
    """One with nothing in the way, one that clamps two sides, one that clamps all four, and one
    with screws of its own."""
    shut = [
        {"side": side, "from_mm": None, "to_mm": None} for side in ("near", "right", "far", "left")
    ]
    return {
        "open press": {"name": "Press 1", "stations": 4, "clamps": []},
        "clamped press": {"name": "Press 2", "stations": 4, "clamps": CLAMPED},
        "screw press": {"name": "Press 4", "stations": 4, "clamps": [], "adjusters": SCREWS},
        "shut press": {"name": "Press 3", "stations": 4, "clamps": shut},
    }


def frame_values(layout: Layout, number: int) -> dict[str, Any]:
    return {
        "number": number,
        "profile": layout.profile,
        "inside_a_mm": layout.inside_a_mm,
        "inside_b_mm": layout.inside_b_mm,
        "bolts": {side: list(places) for side, places in layout.bolts.items()},
        "pitch_mm": round(layout.pitch_mm, 3),
        "head": "hex",
        "step_48ths": 8,
        "lock": "wedge_strip" if layout.name == "bare" else "twin_rod",
    }


def entry(made: dict[str, Any], frame: str, kind: str, number: int, at: Any) -> dict[str, Any]:
    """An entry by which a frame has its mesh, or the mesh its emulsion."""
    place = list(LAYOUTS).index(frame)
    screen = f"0193a6c0-0000-7000-8000-00000000010{place}"
    mesh = {
        "mesh": str(made["mesh"].pk),
        "warp": "x",
        "target_n_per_cm": TARGET_N_PER_CM,
        "tolerance_n_per_cm": TOLERANCE_N_PER_CM,
    }
    fitted = kind == "mesh_fitted"
    return {
        "id": screen if fitted else f"0193a6c0-0000-7000-8000-00000000020{place}",
        "install_id": INSTALL,
        "device_seq": number,
        "kind": kind,
        "v": 1,
        "occurred_at": at.isoformat(timespec="milliseconds"),
        "clock_offset_ms": 0,
        "clock_offset_age_ms": 0,
        "mono_ms": 0,
        "base_seq": 0,
        "operator": None,
        "frame": str(made[frame].pk),
        "screen": screen,
        "subject": None,
        "scanned": None,
        "app": "tests",
        "payload": mesh if fitted else {"note": ""},
    }


def furnish(server: ShopProcess) -> dict[str, Any]:
    """Fill an empty shop; ids by name, codes of the frames, cookies of two phones."""
    printed = server.python(FURNISH.replace("MANAGER", PASSWORD))
    line = next(line for line in printed.splitlines() if line.startswith("TOLD"))
    return json.loads(line.removeprefix("TOLD"))
