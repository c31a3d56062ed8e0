"""A screen's log cut at its turns: what is known of its tension from one turn to the next.

A segment as plain JSON:

    {mesh, target_n_per_cm, retensions, turned_ms,
     seen     [{id, at_h, n_per_cm, readings, moved_places, coated, meter, below, local,
                out, odd_stencil, scanned}]
     steps    [{at_h, kind}]
     printed  [[at_h, impressions]]}

`below`: how far the lowest spot read below the mean; `local`: how much further the worst spot fell
than the mean since the check before, at the places read both times; `out`: what its meter showed on
glass at the next zero check, if that was too much, else 0; `odd_stencil`: read over a stencil where
the log knows none, or the other way round; `scanned`: the frame came from its label.
"""

from collections.abc import Iterable, Mapping
from itertools import pairwise
from statistics import fmean
from typing import Any

from frames.effects import spot_mean
from frames.entries import corrected_ms
from frames.times import utc_text

Json = dict[str, Any]
HOUR_MS = 3_600_000
SESSION_H = 4.0  # rounds closer together are one retension
WET_H = 0.5  # after washing, coating, reclaim: readings then are not of a dry mesh
HANDLED = ("washed", "coated", "reclaimed")
FOR_REGISTER = ("register", "even_up")
USED = {
    *("mesh_fitted", "target_set", "bolt_turns", "register_tweak", "tension_check"),
    *(*HANDLED, "exposed", "impressions"),
}


def segments(entries: Iterable[Json], out: Mapping[str, float] | None = None) -> list[Json]:
    """From the mesh fitted on; the last one is the present. `out`: check -> N/cm, see above."""
    cut = _Cut(out or {})
    for entry in entries:
        if entry["kind"] in USED:
            cut.take(entry)
    return cut.done


class _Cut:
    """Takes entries in fold order and starts a segment at each turn for tension."""

    def __init__(self, out: Mapping[str, float]) -> None:
        self.out = out
        self.stencil = False
        self.done: list[Json] = []
        self.target = 0.0
        self.mesh = ""
        self.retensions = 0
        self.retensioned_ms: int | None = None
        self.counter = 0
        self.spots: dict[tuple[float, float], float] = {}

    def take(self, entry: Json) -> None:
        kind, payload, at = entry["kind"], entry["payload"], corrected_ms(entry)
        if kind == "mesh_fitted":
            self.mesh, self.stencil = payload["mesh"], False
            self._aim(payload)
            self._begin(at)
        elif not self.done:
            return
        elif kind == "target_set":
            self._aim(payload)
        elif kind in ("bolt_turns", "register_tweak"):
            self._turn(payload, at)
        elif kind == "tension_check":
            self._see(entry, at)
        elif kind == "impressions":
            self._print(payload, at)
        elif kind == "exposed":
            self.stencil = True
        else:
            self._handle(kind, at)

    def _aim(self, payload: Json) -> None:
        self.target = payload["target_n_per_cm"]
        if self.done:
            self.done[-1]["target_n_per_cm"] = self.target

    def _begin(self, at: int) -> None:
        self.spots = {}
        self.done.append(
            {
                "mesh": self.mesh,
                "target_n_per_cm": self.target,
                "retensions": self.retensions,
                "turned_ms": at,
                "seen": [],
                "steps": [],
                "printed": [],
            }
        )

    def _turn(self, payload: Json, at: int) -> None:
        purpose = payload.get("purpose", "register")
        if not any(bolt["turn_48ths"] for bolt in payload["bolts"]):
            return
        if purpose in FOR_REGISTER:
            self._step("tweaked", at)
            return
        if purpose == "retension" and self._is_new_session(at):
            self.retensions += 1
        if purpose == "retension":
            self.retensioned_ms = at
        self._begin(at)

    def _is_new_session(self, at: int) -> bool:
        last = self.retensioned_ms
        return last is None or at - last > SESSION_H * HOUR_MS

    def _hours(self, at: int) -> float:
        """Since the last turn; a clock put back does not make it negative."""
        return round(max(at - self.done[-1]["turned_ms"], 0) / HOUR_MS, 4)

    def _handle(self, kind: str, at: int) -> None:
        if kind != "washed":
            self.stencil = kind == "coated"
        self._step(kind, at)

    def _step(self, kind: str, at: int) -> None:
        self.done[-1]["steps"].append({"at_h": self._hours(at), "kind": kind})

    def _print(self, payload: Json, at: int) -> None:
        if payload["mode"] == "added":
            more = payload["count"]
        else:
            more = max(payload["count"] - self.counter, 0)
        self.counter += more
        if more:
            self.done[-1]["printed"].append([self._hours(at), more])

    def _see(self, entry: Json, at: int) -> None:
        here, payload = self.done[-1], entry["payload"]
        hours = self._hours(at)
        wet = [s for s in here["steps"] if s["kind"] in HANDLED and hours - s["at_h"] < WET_H]
        if wet:
            return
        spots = {(s["u"], s["v"]): spot_mean(s) for s in payload["spots"]}
        values, coated = list(spots.values()), payload["stencil"] == "coated"
        here["seen"].append(
            {
                "id": entry["id"],
                "at_h": hours,
                "n_per_cm": round(fmean(values), 3),
                "readings": sum(_readings(s) for s in payload["spots"]),
                "moved_places": bool(self.spots) and spots.keys() != self.spots.keys(),
                "coated": coated,
                "meter": payload.get("meter"),
                "below": round(fmean(values) - min(values), 3),
                "local": self._local(spots),
                "out": self.out.get(entry["id"], 0.0),
                "odd_stencil": coated != self.stencil,
                "scanned": bool(entry.get("scanned")),
            }
        )
        self.spots, self.stencil = spots, coated

    def _local(self, spots: dict[tuple[float, float], float]) -> float:
        moved = [spots[at] - self.spots[at] for at in spots if at in self.spots]
        return round(fmean(moved) - min(moved), 3) if len(moved) > 1 else 0.0


def _readings(spot: Json) -> int:
    both = (spot.get("along_a_n_per_cm"), spot.get("across_a_n_per_cm"))
    return sum(reading is not None for reading in both)


REPEAT_H = 0.5


def repeats(cut: Iterable[Json]) -> list[Json]:
    """Checks read twice within half an hour with one meter at the same places and nothing done in
    between: {meter, square, freedom} of single readings, by meter."""
    sums: dict[str | None, list[float]] = {}
    for segment in cut:
        for before, after in pairwise(segment["seen"]):
            if _is_repeat(segment, before, after):
                square = (after["n_per_cm"] - before["n_per_cm"]) ** 2 / 2 * after["readings"]
                total = sums.setdefault(after["meter"], [0.0, 0])
                total[0] += square
                total[1] += 1
    return [
        {"meter": meter, "square": round(square, 4), "freedom": freedom}
        for meter, (square, freedom) in sums.items()
        if meter
    ]


def pairs(segment: Json, meter: str) -> list[Json]:
    """Where this meter and another read the same mesh at the same places one after the other."""
    found = []
    for before, after in pairwise(segment["seen"]):
        names = (before["meter"], after["meter"])
        if meter in names and None not in names and _is_pair(segment, before, after):
            own, other = (before, after) if names[0] == meter else (after, before)
            found.append(
                {
                    "at": utc_text(round(segment["turned_ms"] + after["at_h"] * HOUR_MS)),
                    "other": other["meter"],
                    "own": own["n_per_cm"],
                    "others": other["n_per_cm"],
                    "difference": round(own["n_per_cm"] - other["n_per_cm"], 2),
                }
            )
    return found


def _is_pair(segment: Json, before: Json, after: Json) -> bool:
    return before["meter"] != after["meter"] and _is_alike(segment, before, after)


def _is_repeat(segment: Json, before: Json, after: Json) -> bool:
    return before["meter"] == after["meter"] and _is_alike(segment, before, after)


def _is_alike(segment: Json, before: Json, after: Json) -> bool:
    done = [s["at_h"] for s in segment["steps"]] + [p[0] for p in segment["printed"]]
    return (
        after["at_h"] - before["at_h"] <= REPEAT_H
        and before["at_h"] > 1  # by then half an hour costs a mesh next to nothing
        and before["coated"] == after["coated"]
        and not after["moved_places"]
        and not any(before["at_h"] < at <= after["at_h"] for at in done)
    )
