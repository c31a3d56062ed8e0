"""A frame of 60 x 80 cm with 20 bolts, a mesh, and the log of one screen on it."""

from collections.abc import Iterable
from typing import Any

Json = dict[str, Any]
SCREEN = "019ab000-0000-7000-8000-000000000001"
NINE = [(u, v) for v in (0.2, 0.5, 0.8) for u in (0.2, 0.5, 0.8)]
FRAME: Json = {
    "profile": "ribbed_u",
    "inside_a_mm": 600,
    "inside_b_mm": 800,
    "bolts": {side: [60, 180, 300, 420, 540] for side in "AC"}
    | {side: [80, 240, 400, 560, 720] for side in "BD"},
    "pitch_mm": 1.411,
    "step_48ths": 8,
}
MESH: Json = {"material": "polyester", "count_per_cm": 77, "thread_um": 48, "cap_n_per_cm": 30}
SHOP: Json = {"round_limit_48ths": 96, "stencil_move_limit_mm": 0.5}
VIEW: Json = {"face": "squeegee", "near": "A"}


def state(**changed: Any) -> Json:
    """A bare screen that is wanted at 22 N/cm."""
    return {
        "screen": SCREEN,
        "fitted_at": "2026-11-24T08:00:00.000Z",
        "stencil": "bare",
        "target_n_per_cm": 22.0,
        "tolerance_n_per_cm": 1.0,
        "turns": {"A3": 48},
        "register_turns": {},
        "checks": {"bare": None, "coated": None},
        "last_check": None,
    } | changed


def entry(number: int, kind: str, payload: Json) -> Json:
    """The `number`th entry of the screen, ten minutes after the one before."""
    hour, minute = divmod(480 + 10 * number, 60)
    return {
        "id": f"019ab000-0000-7000-8000-{number + 1:012d}",
        "kind": kind,
        "payload": payload,
        "occurred_at": f"2026-11-24T{hour:02d}:{minute:02d}:00.000Z",
        "clock_offset_ms": 0,
    }


def check(along: float, across: float, places: Iterable = NINE, **changed: Any) -> Json:
    spots = [
        {"u": u, "v": v, "along_a_n_per_cm": along, "across_a_n_per_cm": across} for u, v in places
    ]
    return {"meter": None, **VIEW, "stencil": "bare", "spots": spots} | changed


def turns(purpose: str = "stretch", **bolts: int) -> Json:
    turned = [{"bolt": bolt, "turn_48ths": turn} for bolt, turn in bolts.items()]
    return {"purpose": purpose, **VIEW, "bolts": turned, "plan": None}


def every(turn: int) -> Json:
    """The same turn on every bolt."""
    return {f"{side}{number}": turn for side in "ABCD" for number in range(1, 6)}


def fitted() -> Json:
    payload = {
        "mesh": "019ab000-0000-7000-8000-00000000aaaa",
        "warp": "unknown",
        "target_n_per_cm": 22,
        "tolerance_n_per_cm": 1,
        "second_hand": False,
    }
    return entry(0, "mesh_fitted", payload)


def history(*payloads: tuple[str, Json]) -> list[Json]:
    """The mesh fitted, then these kinds and payloads."""
    return [fitted(), *(entry(n, *one) for n, one in enumerate(payloads, 1))]


def request(since: list[Json] | None = None, **changed: Any) -> Json:
    return {
        "frame": FRAME,
        "mesh": MESH,
        "shop": SHOP,
        "press": None,
        "frame_state": None,
        "screen": state(),
        "estimate": None,
        "since": since,
        "options": {"purpose": "retension", **VIEW},
    } | changed


def marks(*rows: tuple[float, float, float, float]) -> list[Json]:
    return [dict(zip(("u", "v", "dx_mm", "dy_mm"), row, strict=True)) for row in rows]
