"""Charts of screens and of meshes, from what was derived."""

from collections import Counter
from typing import Any
from uuid import UUID

from frames.mechanics import DRIFT, ewma, individuals
from frames.mechanics.charts import Chart
from frames.models import Derived

Json = dict[str, Any]
FEWEST_POINTS = 8  # for a chart of their own


def of_screen(screen_id: UUID) -> Json | None:
    """Points and signals of one screen, None before they were derived."""
    rows = Derived.objects.filter(pk=Derived.key_of("chart", screen_id))
    return rows.values_list("body", flat=True).first()


def out_of(screen_id: UUID) -> dict[str, float]:
    """Checks of a screen that a meter read while it was out, with what it showed on glass then."""
    row = Derived.objects.filter(pk=Derived.key_of("relaxing", screen_id)).first()
    cut = row.body["segments"] if row else []
    return {s["id"]: s["out"] for segment in cut for s in segment["seen"] if s["out"]}


def by_mesh() -> list[Json]:
    """Departures of all live screens with a mesh on one chart of individuals, in order of time:
    {mesh, checks, centre, low, high, signals: {rule: how often}}, in standard deviations."""
    points: dict[str, list[Json]] = {}
    for body in Derived.objects.of_kind("chart").values_list("body", flat=True):
        points.setdefault(body["mesh"], []).extend(body["points"])
    return [_chart(mesh, its) for mesh, its in sorted(points.items()) if len(its) >= FEWEST_POINTS]


def of_mesh(mesh: str) -> Json | None:
    """The same chart of one mesh with its points: {..., points: [{at, read, z, screen, rules}]},
    newest first; None before there are enough."""
    points = [
        point | {"screen": screen}
        for screen, body in Derived.objects.of_kind("chart").values_list("screen", "body")
        if body["mesh"] == mesh
        for point in body["points"]
    ]
    if len(points) < FEWEST_POINTS:
        return None
    chart = _chart(mesh, points)
    rules: dict[int, list[str]] = {}
    for index, rule in _judged(points)[1]:
        rules.setdefault(index, []).append(rule)
    told = [point | {"rules": rules.get(index, [])} for index, point in enumerate(points)]
    return chart | {"points": told[::-1]}


def _chart(mesh: str, points: list[Json]) -> Json:
    points.sort(key=lambda point: (point["at"], point["check"]))
    chart, signals = _judged(points)
    ends = {name: round(getattr(chart, name), 2) for name in ("centre", "low", "high")}
    rules = Counter(rule for _, rule in signals)
    return {"mesh": mesh, "checks": len(points), **ends, "signals": dict(rules)}


def _judged(points: list[Json]) -> tuple[Chart, list[tuple[int, str]]]:
    """The chart of points in order of time, and where it or their smoothed course speaks."""
    values = [point["z"] for point in points]
    chart = individuals(values)
    drift = ewma(values, chart.centre, chart.sigma).beyond if chart.sigma else ()
    return chart, [*chart.signals, *((index, DRIFT) for index in drift)]
