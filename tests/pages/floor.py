"""A small shop as the office finds it: things by their door, entries as a phone sends them."""

from datetime import timedelta
from typing import Any

from django.utils import timezone

from frames import log, things
from frames.models import Colour, Frame, Job, Mesh, Meter, Operator, Press, Shop
from tests.api.entries import entry

PHONE = "demo:press phone"
VIEW = {"face": "squeegee", "near": "A"}
FIVE = ((0.5, 0.5), (0.2, 0.2), (0.8, 0.2), (0.8, 0.8), (0.2, 0.8))
FRAME = {
    "profile": "plain_u",
    "inside_a_mm": 1000,
    "inside_b_mm": 800,
    "bolts": {"A": [200, 500, 800], "B": [200, 600], "C": [200, 500, 800], "D": [200, 600]},
    "pitch_mm": 1.5,
    "head": "hex",
    "step_48ths": 8,
    "lock": "twin_rod",
}
MESH = {
    "name": "77-48 polyester",
    "material": "polyester",
    "count_per_cm": 77,
    "count_per_inch": 195,
    "thread_um": 48,
    "cap_n_per_cm": 30,
    "target_n_per_cm": 22,
    "tolerance_n_per_cm": 1.5,
}
JOB = {"number": "2291", "title": "Dial plates", "tolerance_mm": 0.1}


class Floor:
    """Quay Street Print: one mesh, one press, one job in blue; frames and entries as asked for."""

    shop: Shop
    mesh: Mesh
    press: Press
    meter: Meter
    operator: Operator
    job: Job
    colour: Colour

    def __init__(self) -> None:
        self.shop = self.make("shop", name="Quay Street Print", prefix="F")
        self.mesh = self.make("mesh", **MESH)
        self.press = self.make("press", name="Press 2", stations=6)
        self.meter = self.make("meter", name="Meter 2", resolution_n_per_cm=0.5)
        self.operator = self.make("operator", name="Ines")
        self.job = self.make("job", **JOB)
        self.colour = self.make("colour", job=str(self.job.pk), position=1, name="blue", key=True)

    def make(self, kind: str, **values: Any) -> Any:
        return things.create(kind, values, by="desk:mara")

    def frame(self, number: int, **changed: Any) -> Frame:
        return self.make("frame", **FRAME | {"number": number} | changed)

    def tell(
        self, kind: str, payload: dict, frame: Frame | None = None, **more: Any
    ) -> dict[str, Any]:
        """One entry, straight into the log."""
        made = self.entry(kind, payload, frame, **more)
        self.send([made])
        return made

    def send(self, entries: list[dict[str, Any]]) -> None:
        receipts = log.append(entries, device=PHONE, received_at=timezone.now())
        assert {receipt.status for receipt in receipts} == {"stored"}, receipts

    def entry(
        self, kind: str, payload: dict, frame: Frame | None = None, **more: Any
    ) -> dict[str, Any]:
        """What Ines writes on a phone, `hours` ago."""
        when = timezone.now() - timedelta(hours=more.pop("hours", 1))
        told = {
            "occurred_at": when.isoformat(timespec="milliseconds"),
            "operator": str(self.operator.pk),
            "frame": str(frame.pk) if frame else None,
        }
        made = entry(kind, payload, **told | more)
        if kind == "mesh_fitted":
            made["screen"] = made["id"]
        return made

    def fit(self, frame: Frame, hours: float = 100) -> dict[str, Any]:
        payload = {"mesh": str(self.mesh.pk), "warp": "x"} | {
            key: MESH[key] for key in ("target_n_per_cm", "tolerance_n_per_cm")
        }
        return self.tell("mesh_fitted", payload, frame, hours=hours)

    def check(self, frame: Frame, *readings: float, hours: float = 2, **more: Any) -> dict:
        made = self.reading(frame, *readings, hours=hours, **more)
        self.send([made])
        return made

    def reading(self, frame: Frame, *readings: float, **more: Any) -> dict:
        """A check with one spot for each reading, the same both ways."""
        spots = [
            {"u": u, "v": v, "along_a_n_per_cm": reading, "across_a_n_per_cm": reading}
            for (u, v), reading in zip(FIVE, readings, strict=False)
        ]
        payload = {"meter": str(self.meter.pk), "stencil": "bare", "spots": spots, **VIEW}
        return self.entry("tension_check", payload, frame, **more)

    def on_press(self, frame: Frame, station: int = 4, hours: float = 3) -> dict[str, Any]:
        payload = {"to": "press", "press": str(self.press.pk), "station": station}
        return self.tell("moved", payload, frame, hours=hours)

    def tweak(self, frame: Frame, hours: float = 1) -> dict[str, Any]:
        payload = {"seen": "one_corner", "marks": [], **VIEW}
        bolts = [{"bolt": "A1", "turn_48ths": 8}, {"bolt": "A2", "turn_48ths": 8}]
        return self.tell("register_tweak", payload | {"bolts": bolts}, frame, hours=hours)

    def expose(self, frame: Frame, hours: float = 4) -> dict[str, Any]:
        payload = {"job": str(self.job.pk), "colour": str(self.colour.pk)}
        return self.tell("exposed", payload, frame, hours=hours)

    def screen(self, frame: Frame, *readings: float) -> Frame:
        """A frame with a mesh and one fresh check."""
        self.fit(frame)
        self.check(frame, *readings)
        return frame
