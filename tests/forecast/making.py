"""Entries of one screen, told by number: each ten minutes after the one before."""

from typing import Any

from frames.times import utc_text

Json = dict[str, Any]
START_MS = 1_795_507_200_000
STEP_MS = 600_000
FIVE = [(0.5, 0.5), (0.2, 0.2), (0.8, 0.2), (0.8, 0.8), (0.2, 0.8)]
WAYS = ("along_a_n_per_cm", "across_a_n_per_cm")


def entry(number: int, kind: str, payload: Json) -> Json:
    """Effective and in order, as a forecast takes it."""
    return {
        "id": f"019ab000-0000-7000-8000-{number:012d}",
        "kind": kind,
        "payload": payload,
        "occurred_at": utc_text(START_MS + number * STEP_MS),
        "clock_offset_ms": 0,
    }


def fitted(number: int = 1) -> Json:
    payload = {"mesh": "m", "target_n_per_cm": 22.0, "tolerance_n_per_cm": 1.5}
    return entry(number, "mesh_fitted", payload)


def turns(number: int, purpose: str = "retension", turn: int = 8) -> Json:
    bolts = [{"bolt": "A1", "turn_48ths": turn}]
    return entry(number, "bolt_turns", {"purpose": purpose, "bolts": bolts})


def check(number: int, value: float, **changed: Any) -> Json:
    """The same at every place, but for ``drops``: place -> N/cm less."""
    places, drops = changed.pop("places", FIVE), changed.pop("drops", {})
    spots = [
        {"u": u, "v": v, **dict.fromkeys(WAYS, value - drops.get(at, 0.0))}
        for at, (u, v) in enumerate(places)
    ]
    payload = {"meter": "x", "stencil": "bare", "spots": spots} | changed
    return entry(number, "tension_check", payload)


def done(number: int, kind: str) -> Json:
    return entry(number, kind, {"note": ""})
