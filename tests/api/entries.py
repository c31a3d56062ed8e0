"""Entries as a phone writes them."""

import itertools
import os
import time
from datetime import UTC, datetime
from typing import Any
from uuid import UUID, uuid4

INSTALL = str(uuid4())
_numbers = itertools.count(1)


def uuid7() -> str:
    """Time first, so that ids sort as they were made (RFC 9562, section 5.7)."""
    milliseconds = time.time_ns() // 1_000_000
    value = milliseconds << 80 | 7 << 76 | int.from_bytes(os.urandom(10)) & ((1 << 76) - 1)
    return str(UUID(int=value & ~(0b11 << 62) | 0b10 << 62))


def entry(kind: str, payload: dict[str, Any], **changed: Any) -> dict[str, Any]:
    return {
        "id": uuid7(),
        "install_id": INSTALL,
        "device_seq": next(_numbers),
        "kind": kind,
        "v": 1,
        "occurred_at": datetime.now(UTC).isoformat(timespec="milliseconds"),
        "clock_offset_ms": 0,
        "clock_offset_age_ms": 1000,
        "mono_ms": 1000,
        "base_seq": 0,
        "operator": None,
        "frame": None,
        "screen": None,
        "subject": None,
        "scanned": None,
        "app": "0.1.0",
        "payload": payload,
    } | changed


def note(text: str = "Corner B/C creaks", **changed: Any) -> dict[str, Any]:
    return entry("note", {"note": text}, **changed)


def mesh_fitted(frame: str, **changed: Any) -> dict[str, Any]:
    payload = {"mesh": str(uuid4()), "warp": "x", "target_n_per_cm": 25, "tolerance_n_per_cm": 1.5}
    made = entry("mesh_fitted", payload, frame=frame)
    return made | {"screen": made["id"]} | changed


def check(mesh: dict[str, Any], reading: float = 24.5, **changed: Any) -> dict[str, Any]:
    spot = {"u": 0.5, "v": 0.5, "along_a_n_per_cm": reading, "across_a_n_per_cm": reading}
    payload = {"meter": None, "face": "squeegee", "near": "A", "stencil": "bare", "spots": [spot]}
    place = {"frame": mesh["frame"], "screen": mesh["id"]}
    return entry("tension_check", payload, **(place | changed))


def void(of: dict[str, Any], reason: str = "Wrong frame") -> dict[str, Any]:
    place = {"frame": of["frame"], "screen": of["screen"]}
    return entry("void", {"voids": of["id"], "reason": reason}, **place)


def correction(of: dict[str, Any], **changed: Any) -> dict[str, Any]:
    payload = {
        "corrects": of["id"],
        "frame": of["frame"],
        "screen": of["screen"],
        "occurred_at": of["occurred_at"],
        "payload": of["payload"],
    } | changed
    return entry("correction", payload, frame=of["frame"], screen=of["screen"])


def nested(depth: int) -> Any:
    """Lists and objects in turn, one within the other."""
    value: Any = 1
    for level in range(depth):
        value = [value] if level % 2 else {"payload": value}
    return value
