"""How long meshes live, what they need and keep meanwhile, and when a new one is cheaper."""

from collections import defaultdict
from statistics import fmean, median
from typing import Any

from frames.forms import Prices
from frames.mechanics import best_age, mesh_life, weibull_life
from frames.models import Derived, ScreenState

Json = dict[str, Any]
LEAST_BURST = 2  # of one mesh, before anything is said of its life
FIRST_H, WEEK_H = 24.0, (120.0, 240.0)  # first check within a day, another about a week later
THOUSAND = 1000


def mesh_lives(prices: Prices | None = None) -> list[Json]:
    """By mesh, those that last longest first:

    {mesh, fitted, burst, median, low, high: impressions till it bursts,
     printed, retensions, reclaims: what a screen has come to on average,
     kept: % of the tension left a week after the last turn,
     cost: see `_cost`, or null}
    """
    segments = {
        str(screen): body["segments"]
        for screen, body in Derived.objects.of_kind("relaxing").values_list("screen", "body")
    }
    groups: dict[str, list[Json]] = defaultdict(list)
    for row in ScreenState.objects.all():
        groups[str(row.mesh)].append(_screen(row, segments.get(str(row.pk), [])))
    found = [_of_mesh(mesh, its, prices or Prices()) for mesh, its in groups.items()]
    return sorted(found, key=lambda row: (-(row["median"] or 0), -row["printed"], row["mesh"]))


def _screen(row: ScreenState, segments: list[Json]) -> Json:
    return {
        "burst": bool(row.body["ended"]) and row.body["ended"]["how"] == "burst",
        "printed": sum(count for cut in segments for _, count in cut["printed"]),
        "retensions": row.body["retensions"],
        "reclaims": row.body["reclaims"],
        "kept": [kept for cut in segments if (kept := _kept(cut))],
    }


def _kept(cut: Json) -> float | None:
    """Share of the tension left after a week without a turn, bare to bare or coated to coated."""
    first = next((s for s in cut["seen"] if s["at_h"] <= FIRST_H), None)
    low, high = WEEK_H
    later = next((s for s in cut["seen"] if low <= s["at_h"] <= high), None)
    if first is None or later is None or first["coated"] != later["coated"]:
        return None
    return later["n_per_cm"] / first["n_per_cm"]


def _of_mesh(mesh: str, its: list[Json], prices: Prices) -> Json:
    lasted, ended = [one["printed"] for one in its], [one["burst"] for one in its]
    found = mesh_life(lasted, ended)
    sure = found.ended >= LEAST_BURST
    kept = [share for one in its for share in one["kept"]]
    return {
        "mesh": mesh,
        "fitted": len(its),
        "burst": found.ended,
        "median": found.median if sure else None,
        "low": found.low if sure else None,
        "high": found.high if sure else None,
        **{name: fmean(one[name] for one in its) for name in ("printed", "retensions", "reclaims")},
        "kept": 100 * median(kept) if kept else None,
        "cost": _cost(lasted, ended, fmean(one["retensions"] for one in its), prices),
    }


def _cost(lasted: list[int], ended: list[bool], retensions: float, prices: Prices) -> Json | None:
    """{planned, burst, retensions: money for one mesh; age: impressions after which a new mesh is
    cheaper than waiting for the burst, null where it never is; best, left: money per 1000
    impressions with that age, and left until it bursts}; null without prices, or before enough
    meshes have burst."""
    life = weibull_life(lasted, ended)
    minute = prices.hour / 60
    planned = prices.mesh + prices.fitting_minutes * minute
    if life is None or not planned:
        return None
    burst = planned + prices.burst_minutes * minute
    upkeep = retensions * prices.retension_minutes * minute
    found = best_age(*life, planned, burst)
    return {
        "planned": planned,
        "burst": burst,
        "retensions": upkeep,
        "age": found.age,
        "best": THOUSAND * found.best,
        "left": THOUSAND * found.left,
    }
