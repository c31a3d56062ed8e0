"""A small shop for the browser tests, made through the doors of the house on the server's data."""

import json
import sqlite3
from typing import Any

from tests.shop_process import DATABASE, ShopProcess

FURNISH = """
import json
from datetime import UTC, datetime, timedelta
from django.contrib.auth.models import Group, User
from frames import log, things
from frames.models import Frame
from tests.browser.small_shop import fitted, frame_values, let_in, mesh_values

now = datetime.now(UTC)
make = lambda kind, **values: things.create(kind, values, "tests")
made = {"shop": make("shop", name="Bay Street Signs", prefix="F")}
made["mesh"] = make("mesh", **mesh_values())
made["press"] = make("press", name="Press 1", stations=4, clamps=[])
made["meter"] = make("meter", name="Meter 2", resolution_n_per_cm=0.5)
made["operator"] = make("operator", name="Ines")
made["job"] = make("job", number="2611", title="Cafe boards", due="2026-12-24", run=400,
                   substrate="board", tolerance_mm=0.3)
made["colour"] = make("colour", job=str(made["job"].pk), position=1, name="Key black",
                      ink="black", mesh=str(made["mesh"].pk), key=True)
made["frame"] = make("frame", **frame_values())
for head in ["mesh_fitted", "coated"]:
    entry = fitted(made, head, now - timedelta(hours=3) + timedelta(minutes=len(head)))
    receipts = log.append([entry], device="tests", received_at=now)
    assert receipts[0].status == "stored", receipts
user = User.objects.create_user("manager", password="MANAGER")
user.groups.add(Group.objects.get_or_create(name="manager")[0])
cookies = [let_in(user, label) for label in ("Phone 1", "Phone 2")]
told = {kind: str(thing.pk) for kind, thing in made.items()}
print("TOLD" + json.dumps(told | {"code": Frame.objects.get().code, "cookies": cookies}))
"""

PASSWORD = "quiet-rod-7-lock"
INSTALL = "0193a6c0-0000-7000-8000-00000000cafe"
SCREEN = "0193a6c0-0000-7000-8000-000000000001"
COATED = "0193a6c0-0000-7000-8000-000000000002"


def frame_values() -> dict[str, Any]:
    """Longer along A than along B, with bolts that lie nowhere symmetrically."""
    along_a, along_b = [120, 330, 540, 750, 980], [100, 300, 500, 700]
    return {
        "number": 417,
        "profile": "plain_u",
        "inside_a_mm": 1100,
        "inside_b_mm": 800,
        "bolts": {"A": along_a, "B": along_b, "C": along_a, "D": along_b},
        "pitch_mm": 1.5,
        "head": "hex",
        "step_48ths": 8,
        "lock": "twin_rod",
    }


def mesh_values() -> dict[str, Any]:
    return {
        "name": "77 T",
        "material": "polyester",
        "count_per_cm": 77,
        "count_per_inch": 195,
        "thread_um": 55,
        "cap_n_per_cm": 30,
        "target_n_per_cm": 20,
        "tolerance_n_per_cm": 1.5,
    }


def fitted(made: dict[str, Any], kind: str, at: Any) -> dict[str, Any]:
    """The entries by which the frame has a coated screen on it."""
    mesh = {
        "mesh": str(made["mesh"].pk),
        "warp": "x",
        "target_n_per_cm": 20,
        "tolerance_n_per_cm": 1.5,
    }
    return {
        "id": SCREEN if kind == "mesh_fitted" else COATED,
        "install_id": INSTALL,
        "device_seq": 1 if kind == "mesh_fitted" else 2,
        "kind": kind,
        "v": 1,
        "occurred_at": at.isoformat(timespec="milliseconds"),
        "clock_offset_ms": 0,
        "clock_offset_age_ms": 0,
        "mono_ms": 0,
        "base_seq": 0,
        "operator": None,
        "frame": str(made["frame"].pk),
        "screen": SCREEN,
        "subject": None,
        "scanned": None,
        "app": "tests",
        "payload": mesh if kind == "mesh_fitted" else {"note": ""},
    }


def let_in(manager: Any, label: str) -> str:
    """A phone as its manager lets it in, without the pages; its cookie."""
    from shopfloor.auth import devices, enrolment

    offer = enrolment.offer(manager, label)
    claim = enrolment.claim(token=offer.token, about={"install_id": label, "about": "tests"})
    enrolment.approve(claim.enrolment, claim.enrolment.number, manager)
    return devices.collect(claim.secret)[2]


def furnish(server: ShopProcess) -> dict[str, Any]:
    """Fill an empty shop: one coated frame, all that a phone asks for, cookies of two phones."""
    printed = server.python(FURNISH.replace("MANAGER", PASSWORD))
    line = next(line for line in printed.splitlines() if line.startswith("TOLD"))
    return json.loads(line.removeprefix("TOLD"))


def entries_of(server: ShopProcess) -> list[dict[str, Any]]:
    """Every entry that phones and desks have sent, in the order in which the server took it."""
    with sqlite3.connect(server.data / DATABASE) as database:
        query = "SELECT raw, corrected_at FROM frames_entry WHERE device <> 'tests' ORDER BY seq"
        rows = database.execute(query).fetchall()
    database.close()
    return [json.loads(raw) | {"corrected_at": at} for raw, at in rows]
