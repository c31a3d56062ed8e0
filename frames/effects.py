"""What each kind of entry changes on a screen: (screen, entry, time) → the keys that change."""

from collections.abc import Callable
from math import floor
from typing import Any

from frames.entries import Raw

Json = dict[str, Any]


def begun(entry: Raw, frame_id: str, at: str) -> Json:
    """The state of a screen at the moment its mesh was fitted."""
    payload = entry["payload"]
    return {
        "screen": entry["id"],
        "frame": frame_id,
        "mesh": payload["mesh"],
        "warp": payload["warp"],
        "target_n_per_cm": payload["target_n_per_cm"],
        "tolerance_n_per_cm": payload["tolerance_n_per_cm"],
        "fitted_at": at,
        "stencil": "bare",
        "job": None,
        "colour": None,
        "checks": {"bare": None, "coated": None},
        "last_check": None,
        "turns": {},
        "register_turns": {},
        "retensions": 0,
        "reclaims": 0,
        "impressions": 0,
        "tweaks": {"count": 0, "open": [], "last": None},
        "trusted": not payload.get("second_hand"),
        "ended": None,
        "last": {"at": at, "kind": entry["kind"]},
    }


def thousandth(value: float) -> float:
    """Rounded to three decimals, halves up: the same rule on the phone."""
    return floor(value * 1000 + 0.5) / 1000


def mean(values: list[float]) -> float:
    """Added from left to right, so that every machine gets the same last bit."""
    total = 0.0
    for value in values:
        total += value
    return total / len(values)


def spot_mean(spot: Json) -> float:
    readings = (spot.get("along_a_n_per_cm"), spot.get("across_a_n_per_cm"))
    return mean([reading for reading in readings if reading is not None])


def checked(screen: Json, entry: Raw, at: str) -> Json:
    payload = entry["payload"]
    means = [spot_mean(spot) for spot in payload["spots"]]
    check = {
        "id": entry["id"],
        "at": at,
        "stencil": payload["stencil"],
        "meter": payload.get("meter"),
        "spots": [
            {
                "u": spot["u"],
                "v": spot["v"],
                "along_a_n_per_cm": spot.get("along_a_n_per_cm"),
                "across_a_n_per_cm": spot.get("across_a_n_per_cm"),
            }
            for spot in payload["spots"]
        ],
        "low": thousandth(min(means)),
        "high": thousandth(max(means)),
        "mean": thousandth(mean(means)),
        "spread": thousandth(max(means) - min(means)),
    }
    return {"checks": screen["checks"] | {payload["stencil"]: check}, "last_check": check}


def added(totals: dict[str, int], bolts: list[Json]) -> dict[str, int]:
    sums = dict(totals)
    for turned in bolts:
        sums[turned["bolt"]] = sums.get(turned["bolt"], 0) + turned["turn_48ths"]
    return sums


def for_register(screen: Json, bolts: list[Json]) -> Json:
    """Register turns still in the bars; a bolt that is back where it was is left out."""
    sums = added(screen["register_turns"], bolts)
    return {"register_turns": {bolt: turn for bolt, turn in sums.items() if turn}}


def turned(screen: Json, entry: Raw, at: str) -> Json:
    bolts, purpose = entry["payload"]["bolts"], entry["payload"]["purpose"]
    changes: Json = {"turns": added(screen["turns"], bolts)}
    if purpose in ("register", "even_up"):
        changes |= for_register(screen, bolts)
    if purpose == "retension":
        changes["retensions"] = screen["retensions"] + 1
    return changes


def nipped(screen: Json, entry: Raw, at: str) -> Json:
    return {"turns": added(screen["turns"], entry["payload"]["bolts"])}


def tweaked(screen: Json, entry: Raw, at: str) -> Json:
    payload, tweaks = entry["payload"], screen["tweaks"]
    last = {
        "id": entry["id"],
        "at": at,
        "seen": payload["seen"],
        "cause": payload.get("cause"),
        "bolts": payload["bolts"],
        "verdict": None,
        "job": payload.get("job"),
        "colour": payload.get("colour"),
        "press": payload.get("press"),
        "station": payload.get("station"),
    }
    opened = [*tweaks["open"], entry["id"]]
    return {
        "turns": added(screen["turns"], payload["bolts"]),
        "tweaks": {"count": tweaks["count"] + 1, "open": opened, "last": last},
        **for_register(screen, payload["bolts"]),
    }


def marked_after(screen: Json, entry: Raw, at: str) -> Json:
    tweak, tweaks = entry["payload"]["tweak"], screen["tweaks"]
    still_open = [id for id in tweaks["open"] if id != tweak]
    last = _amended(tweaks["last"], tweak, verdict=entry["payload"].get("verdict"))
    return {"tweaks": tweaks | {"open": still_open, "last": last}}


def cause_found(screen: Json, entry: Raw, at: str) -> Json:
    payload, tweaks = entry["payload"], screen["tweaks"]
    last = _amended(tweaks["last"], payload["tweak"], cause=payload["cause"])
    return {"tweaks": tweaks | {"last": last}}


def _amended(last: Json | None, tweak: str, **found: Any) -> Json | None:
    return last | found if last and last["id"] == tweak else last


def retargeted(screen: Json, entry: Raw, at: str) -> Json:
    payload = entry["payload"]
    return {key: payload[key] for key in ("target_n_per_cm", "tolerance_n_per_cm")}


def coated(screen: Json, entry: Raw, at: str) -> Json:
    return {"stencil": "coated"}


def exposed(screen: Json, entry: Raw, at: str) -> Json:
    """A new stencil: its impressions are counted from 0."""
    payload = entry["payload"]
    return {
        "stencil": "exposed",
        "job": payload["job"],
        "colour": payload["colour"],
        "impressions": 0,
    }


def inspected(screen: Json, entry: Raw, at: str) -> Json:
    return {"stencil": "inspected"} if entry["payload"]["passed"] else {}


def reclaimed(screen: Json, entry: Raw, at: str) -> Json:
    """The stencil is off; turns for register stay in the bars until they are evened up."""
    return {"stencil": "bare", "job": None, "colour": None, "reclaims": screen["reclaims"] + 1}


def printed(screen: Json, entry: Raw, at: str) -> Json:
    payload, before = entry["payload"], screen["impressions"]
    if payload["mode"] == "added":
        return {"impressions": before + payload["count"]}
    return {"impressions": max(before, payload["count"])}


def measured_out(screen: Json, entry: Raw, at: str) -> Json:
    return {"trusted": True}


EFFECTS: dict[str, Callable[[Json, Raw, str], Json]] = {
    "target_set": retargeted,
    "tension_check": checked,
    "bolt_turns": turned,
    "register_tweak": tweaked,
    "after_marks": marked_after,
    "cause_found": cause_found,
    "nipped_up": nipped,
    "coated": coated,
    "exposed": exposed,
    "inspected": inspected,
    "reclaimed": reclaimed,
    "impressions": printed,
    "stand_out": measured_out,
}
