"""Charts of screens and meshes, and what is known of meters: from what was derived."""

from collections import Counter
from typing import Any
from uuid import UUID

from frames import forecast
from frames.entries import corrected_ms
from frames.errors import BadInput, Problem
from frames.folding import effective
from frames.links import of_meter
from frames.mechanics import InputFault, average_and_range, individuals, zero_history
from frames.models import Derived, Meter
from frames.times import moment

Json = dict[str, Any]
DAY_MS = 86_400_000
DUE_DAYS = 30  # a meter whose zero was not looked at for so long is due (common practice)
FEWEST_REPEATS = 3
FEWEST_POINTS = 8  # for a chart of their own
GOOD_PERCENT, FAIR_PERCENT, LEAST_CLASSES = 10.0, 30.0, 5
NOTHING: Json = {"noise": None, "bias": None, "word": "", "due": False}


def of_screen(screen_id: UUID) -> Json | None:
    """Points and signals of one screen, None before they were derived."""
    rows = Derived.objects.filter(pk=Derived.key_of("chart", screen_id))
    return rows.values_list("body", flat=True).first()


def by_mesh() -> list[Json]:
    """Departures of all live screens with a mesh on one chart of individuals, in order of time:
    {mesh, checks, centre, low, high, signals: {rule: how often}}, in standard deviations."""
    points: dict[str, list[Json]] = {}
    for body in Derived.objects.of_kind("chart").values_list("body", flat=True):
        points.setdefault(body["mesh"], []).extend(body["points"])
    return [_chart(mesh, its) for mesh, its in sorted(points.items()) if len(its) >= FEWEST_POINTS]


def _chart(mesh: str, points: list[Json]) -> Json:
    points.sort(key=lambda point: (point["at"], point["check"]))
    chart = individuals([point["z"] for point in points])
    ends = {name: round(getattr(chart, name), 2) for name in ("centre", "low", "high")}
    rules = Counter(rule for _, rule in chart.signals)
    return {"mesh": mesh, "checks": len(points), **ends, "signals": dict(rules)}


def of_meters(now_ms: int) -> list[Json]:
    """What the log knows of every meter in use: zero, drift, noise, how it reads beside others."""
    repeats = [
        row
        for body in Derived.objects.of_kind("relaxing").values_list("body", flat=True)
        for row in body["repeats"]
    ]
    usual = Derived.objects.of_kind("usual").order_by("-seq").values_list("body", flat=True).first()
    biases = {m: (bias, var) for m, bias, var in usual["biases"]} if usual else {}
    return [_of_meter(meter, repeats, biases, now_ms) for meter in Meter.objects.in_use()]


def _of_meter(meter: Meter, repeats: list[Json], biases: dict, now_ms: int) -> Json:
    own = [row for row in repeats if row["meter"] == str(meter.pk)]
    count = sum(row["freedom"] for row in own)
    noise = forecast.noise(own).get(str(meter.pk)) if count >= FEWEST_REPEATS else None
    bias = biases.get(str(meter.pk))
    zeros = _zeros(meter.pk)
    return {
        "meter": meter,
        "repeats": count,
        "noise": noise,
        "bias": round(bias[0], 2) if bias else None,
        "bias_sd": round(bias[1] ** 0.5, 2) if bias else None,
        **_zero(zeros, now_ms),
    }


def _zeros(meter_id: UUID) -> list[tuple[int, float]]:
    told = effective(row.raw for row in of_meter(meter_id))
    return [(corrected_ms(e), e["payload"]["zero_n_per_cm"]) for e in told]


def _zero(zeros: list[tuple[int, float]], now_ms: int) -> Json:
    if not zeros:
        return {"zero": None, "zeroed_at": None, "word": "never zeroed", "due": True}
    last = zeros[-1][0]
    history = zero_history([at / DAY_MS for at, _ in zeros], [value for _, value in zeros])
    return {
        "zero": history.last,
        "zeroed_at": moment(last),
        "per_30_days": history.per_30_days,
        "low": history.low,
        "high": history.high,
        "word": history.word,
        "due": history.word != "good" or now_ms - last > DUE_DAYS * DAY_MS,
    }


def study(readings: list[list[list[float]]]) -> Json:
    """Repeatability and reproducibility of a meter, by average and range, and what to think of it.

    Parameters
    ----------
    readings : people x places x trials

    Acceptance: below 10 % good, to 30 % may do, at least five classes (AIAG, from memory).
    """
    try:
        found = average_and_range(readings)
    except InputFault as fault:
        raise BadInput([Problem(fault.field, str(fault.value), fault.remedy)]) from None
    good, fair = found.percent < GOOD_PERCENT, found.percent <= FAIR_PERCENT
    fine = found.classes >= LEAST_CLASSES
    word = "good" if good and fine else "fair" if fair and fine else "poor"
    return vars(found) | {"word": word}
