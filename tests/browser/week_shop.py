"""A shop with a six-colour job and thirteen frames, one of them bare, for a week's story."""

import json
from typing import Any

from tests.browser.small_shop import PASSWORD
from tests.shop_process import ShopProcess

COLOURS = ("Yellow", "Magenta", "Cyan", "Black", "Gold", "Varnish")
FRAMES = 13
TENSION = 20.5

FURNISH = """
import json
from datetime import UTC, datetime, timedelta
from django.contrib.auth.models import Group, User
from frames import log, things
from tests.browser import week_shop
from tests.browser.small_shop import let_in, mesh_values

now = datetime.now(UTC)
make = lambda kind, **values: things.create(kind, values, "tests")
made = {"shop": make("shop", name="Harbour Tins", prefix="F")}
made["mesh"] = make("mesh", **mesh_values())
made["press"] = make("press", name="Line 6", stations=6, clamps=[])
made["meter"] = make("meter", name="Meter 2", resolution_n_per_cm=0.5)
made["operator"] = make("operator", name="Ines", may_turn_with_stencil=True)
due = (now + timedelta(days=2)).date().isoformat()
made["job"] = make("job", number="2700", title="Tea tins", due=due, run=5000,
                   substrate="tinplate", tolerance_mm=0.2)
colours = [
    str(make("colour", job=str(made["job"].pk), position=i + 1, name=name, ink=name.lower(),
             mesh=str(made["mesh"].pk), key=name == "Black").pk)
    for i, name in enumerate(week_shop.COLOURS)
]
codes, ids = [], []
for number in range(week_shop.FRAMES):
    frame = make("frame", **week_shop.frame_values(801 + number))
    codes.append(frame.code)
    ids.append(str(frame.pk))
    if number < week_shop.FRAMES - 1:
        entries = week_shop.history(made, frame, number, now)
        receipts = log.append(entries, device="tests", received_at=now)
        assert {one.status for one in receipts} == {"stored"}, receipts
user = User.objects.create_user("manager", password="MANAGER")
user.groups.add(Group.objects.get_or_create(name="manager")[0])
told = {kind: str(thing.pk) for kind, thing in made.items()}
told |= {"codes": codes, "frames": ids, "colours": colours, "cookies": [let_in(user, "Phone 1")]}
print("TOLD" + json.dumps(told))
"""
INSTALL = "0193a6c0-0000-7000-8000-00000000beef"


def frame_values(number: int) -> dict[str, Any]:
    along = [100, 300, 500, 700]
    return {
        "number": number,
        "profile": "plain_u",
        "inside_a_mm": 800,
        "inside_b_mm": 800,
        "bolts": {side: along for side in "ABCD"},
        "pitch_mm": 1.5,
        "head": "hex",
        "step_48ths": 8,
        "lock": "twin_rod",
    }


def history(made: dict[str, Any], frame: Any, number: int, now: Any) -> list[dict[str, Any]]:
    """Mesh fitted some days ago, checked this morning; three carry turns from an older job."""
    from datetime import timedelta

    screen = f"0193a6c0-0000-7000-8000-0000000010{number:02d}"
    target = {"target_n_per_cm": 20, "tolerance_n_per_cm": 1.5}
    view = {"face": "squeegee", "near": "A"}
    spots = [
        {"u": u, "v": v, "along_a_n_per_cm": TENSION, "across_a_n_per_cm": TENSION}
        for u, v in ((0.5, 0.5), (0.2, 0.2), (0.8, 0.2), (0.8, 0.8), (0.2, 0.8))
    ]
    told = [
        ("mesh_fitted", {"mesh": str(made["mesh"].pk), "warp": "x"} | target, 9 * 24),
        ("tension_check", view | {"meter": None, "stencil": "bare", "spots": spots}, 3),
    ]
    if number in (6, 7, 8):
        turns = {"purpose": "register", "plan": None, "bolts": [{"bolt": "A2", "turn_48ths": 16}]}
        told.insert(1, ("bolt_turns", view | turns, 8 * 24))
    return [
        {
            "id": screen if kind == "mesh_fitted" else f"{screen[:-4]}{place + 2}0{number:02d}",
            "install_id": INSTALL,
            "device_seq": 10 * number + place + 1,
            "kind": kind,
            "v": 1,
            "occurred_at": (now - timedelta(hours=hours)).isoformat(timespec="milliseconds"),
            "clock_offset_ms": 0,
            "clock_offset_age_ms": 0,
            "mono_ms": 0,
            "base_seq": 0,
            "operator": None,
            "frame": str(frame.pk),
            "screen": screen,
            "subject": None,
            "scanned": None,
            "app": "tests",
            "payload": payload,
        }
        for place, (kind, payload, hours) in enumerate(told)
    ]


def furnish(server: ShopProcess) -> dict[str, Any]:
    """Fill an empty shop and tell its ids, codes and cookies."""
    printed = server.python(FURNISH.replace("MANAGER", PASSWORD))
    line = next(line for line in printed.splitlines() if line.startswith("TOLD"))
    return json.loads(line.removeprefix("TOLD"))
