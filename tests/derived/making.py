"""A small shop whose screen stretches as told, and the entries of its phone."""

from datetime import UTC, datetime, timedelta
from itertools import count
from typing import Any
from uuid import UUID

from frames import log, things
from frames.mechanics import Mesh
from tests.log.shop import VALUES

Json = dict[str, Any]
START = datetime(2026, 11, 24, 8, 0, tzinfo=UTC)
INSTALL = "019ab000-0000-7000-8000-00000000ffff"
FIVE = ((0.5, 0.5), (0.2, 0.2), (0.8, 0.2), (0.8, 0.8), (0.2, 0.8))
VIEW = {"face": "squeegee", "near": "A"}


class Bench:
    """Screens on frames of one kind; every entry ten minutes after the one before."""

    numbers = count(1)

    def __init__(self) -> None:
        self.shop = things.create("shop", VALUES["shop"], "test")
        self.mesh = things.create("mesh", VALUES["mesh"], "test")
        self.now = START
        self.screens: dict[str, UUID] = {}

    def frame(self) -> str:
        return str(things.create("frame", VALUES["frame"], "test").pk)

    def entry(self, kind: str, payload: Json, frame: str, minutes: float = 10, **more: Any) -> Json:
        self.now += timedelta(minutes=minutes)
        number = next(self.numbers)
        id = f"019ab000-0000-7000-8000-{number:012d}"
        if kind == "mesh_fitted":
            self.screens[frame] = UUID(id)
        return {
            "id": id,
            "install_id": INSTALL,
            "device_seq": number,
            "kind": kind,
            "v": 1,
            "occurred_at": self.now.isoformat(timespec="milliseconds"),
            "clock_offset_ms": 0,
            "clock_offset_age_ms": 1000,
            "mono_ms": number,
            "base_seq": 0,
            "operator": None,
            "frame": frame,
            "screen": str(self.screens[frame]),
            "subject": None,
            "scanned": None,
            "app": "test",
            "payload": payload,
        } | more

    def save(self, kind: str, payload: Json, frame: str, minutes: float = 10, **more: Any) -> Json:
        entry = self.entry(kind, payload, frame, minutes, **more)
        (receipt,) = log.append([entry], device="test", received_at=self.now)
        assert receipt.status == "stored", receipt
        return entry

    def fit(self, frame: str) -> Json:
        payload = {
            "mesh": str(self.mesh.pk),
            "warp": "unknown",
            "target_n_per_cm": 21,
            "tolerance_n_per_cm": 1.5,
            "second_hand": False,
        }
        return self.save("mesh_fitted", payload, frame)

    def check(self, frame: str, along: float, across: float, minutes: float = 10) -> Json:
        spots = [
            {"u": u, "v": v, "along_a_n_per_cm": along, "across_a_n_per_cm": across}
            for u, v in FIVE
        ]
        payload = {"meter": None, **VIEW, "stencil": "bare", "spots": spots}
        return self.save("tension_check", payload, frame, minutes)

    def turn(self, frame: str, turn_48ths: int, **more: Any) -> Json:
        """Every bolt of the frame by as much."""
        bolts = [
            {"bolt": f"{side}{place + 1}", "turn_48ths": turn_48ths}
            for side, places in VALUES["frame"]["bolts"].items()
            for place in range(len(places))
        ]
        payload = {"purpose": "retension", **VIEW, "bolts": bolts, "plan": None} | more
        return self.save("bolt_turns", payload, frame)

    def gain(self, turn_48ths: int, factor: float = 1.0) -> tuple[float, float]:
        """What turning every bolt does along A and across A, N/cm: two draws over the span,
        through the stiffness (plane stress, shown as a 2 x 2 matrix)."""
        draw = 2 * VALUES["frame"]["pitch_mm"] * turn_48ths / 48
        strain = [draw / VALUES["frame"][f"inside_{way}_mm"] for way in "ab"]
        mesh = Mesh.of("polyester", VALUES["mesh"]["count_per_cm"], VALUES["mesh"]["thread_um"])
        (xx, xy), (_, yy) = mesh.stiffness
        return (
            factor * (xx * strain[0] + xy * strain[1]),
            factor * (xy * strain[0] + yy * strain[1]),
        )
