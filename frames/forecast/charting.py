"""Control chart of one screen: how its checks departed from what was forecast before each."""

from frames.forecast import wire
from frames.forecast.history import HOUR_MS, Json
from frames.mechanics import residuals, run_rules
from frames.mechanics.relaxation import T0_H
from frames.times import utc_text


def chart(asked: Json) -> Json:
    """{mesh, points: [{check, at, read, z}], signals: [{check, rule}]}, z in standard deviations.

    Parameters
    ----------
    asked : {segments: see `history`, usual: see `wire.usual_body`}
    """
    usual, noise_sd = wire.usual(asked["usual"]), asked["usual"]["noise"]
    points = []
    for cut in asked["segments"]:
        segment = wire.segment(cut, noise_sd)
        kept = [s for s in wire.in_order(cut) if s["at_h"] >= T0_H]
        points += [
            {
                "check": seen["id"],
                "at": utc_text(round(cut["turned_ms"] + seen["at_h"] * HOUR_MS)),
                "read": seen["n_per_cm"],
                "z": round(float(z), 2),
            }
            for seen, z in zip(kept, residuals(segment, usual), strict=True)
        ]
    return {"mesh": asked["usual"]["about"][0], "points": points, "signals": signals(points)}


def signals(points: list[Json]) -> list[Json]:
    """Which run rules speak at which check. The centre is 0 and sigma 1: the forecast says so."""
    said = run_rules([point["z"] for point in points])
    return [{"check": points[index]["check"], "rule": rule} for index, rule in said]
