"""What is known of meters: zero and drift, noise, how each reads beside the others, its studies."""

from datetime import date
from typing import Any

from frames import forecast
from frames.derived import meters
from frames.derived.meters import Zeros, zeros_of
from frames.errors import BadInput, Problem
from frames.mechanics import InputFault, average_and_range, by_variance, zero_history
from frames.mechanics.meter import ZERO_LIMIT
from frames.models import Derived, Meter
from frames.times import moment

Json = dict[str, Any]
DAY_MS = 86_400_000
DUE_DAYS = 30  # a meter whose zero was not looked at for so long is due (common practice)
FEWEST_REPEATS = 3
GOOD_PERCENT, FAIR_PERCENT, LEAST_CLASSES = 10.0, 30.0, 5
NOTHING: Json = {"noise": None, "bias": None, "word": "", "due": False}


def of_meters(now_ms: int) -> list[Json]:
    """What the log knows of every meter in use: zero, drift, noise, how it reads beside others."""
    repeats = [
        row
        for body in Derived.objects.of_kind("relaxing").values_list("body", flat=True)
        for row in body["repeats"]
    ]
    usual = Derived.objects.of_kind("usual").order_by("-seq").values_list("body", flat=True).first()
    biases = {m: (bias, var) for m, bias, var in usual["biases"]} if usual else {}
    studied = meters.studied()
    return [
        _of_meter(meter, [*repeats, *studied], biases, now_ms) for meter in Meter.objects.in_use()
    ]


def _of_meter(meter: Meter, repeats: list[Json], biases: dict, now_ms: int) -> Json:
    own = [row for row in repeats if row["meter"] == str(meter.pk)]
    count = sum(row["freedom"] for row in own)
    noise = forecast.noise(own).get(str(meter.pk)) if count >= FEWEST_REPEATS else None
    bias = biases.get(str(meter.pk))
    zeros = zeros_of(meter.pk)
    return {
        "meter": meter,
        "repeats": count,
        "noise": noise,
        "bias": round(bias[0], 2) if bias else None,
        "bias_sd": round(bias[1] ** 0.5, 2) if bias else None,
        **_zero(zeros, now_ms),
    }


def _zero(zeros: Zeros, now_ms: int) -> Json:
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


def zero_checks(meter: Meter) -> list[Json]:
    """{at, zero, out} of every zero check, oldest first; readings before one that is out are in
    doubt."""
    return [
        {"at": moment(at), "zero": zero, "out": abs(zero) > ZERO_LIMIT}
        for at, zero in zeros_of(meter.pk)
    ]


def studies(meter: Meter) -> list[Json]:
    """The kept studies of a meter, newest first: {on, people, at_places, trials} and what `study`
    says of them."""
    return [
        {
            "on": date.fromisoformat(kept["on"]),
            "people": len(kept["readings"]),
            "at_places": len(kept["readings"][0]),
            "trials": len(kept["readings"][0][0]),
            **study(kept["readings"]),
        }
        for kept in sorted(meter.studies, key=lambda kept: kept["on"], reverse=True)
    ]


def beside(meter: Meter) -> list[Json]:
    """Screens read by this meter and another one after the other, newest first: {screen, at, other,
    own, others, difference} N/cm."""
    found = []
    for screen, body in Derived.objects.of_kind("relaxing").values_list("screen", "body"):
        for cut in body["segments"]:
            found += [{"screen": screen, **pair} for pair in forecast.pairs(cut, str(meter.pk))]
    return sorted(found, key=lambda pair: pair["at"], reverse=True)


def kept(meter: Meter, readings: list[list[list[float]]], on: date) -> list[Json]:
    """The studies of a meter with one more."""
    return [*meter.studies, {"on": on.isoformat(), "readings": readings}]


def study(readings: list[list[list[float]]]) -> Json:
    """Repeatability and reproducibility of a meter, by average and range, and what to think of it;
    ``by_variance`` is both together by analysis of variance, as a check.

    Parameters
    ----------
    readings : people x places x trials

    Acceptance: below 10 % good, to 30 % may do, at least five classes (AIAG, from memory).
    """
    try:
        found, check = average_and_range(readings), by_variance(readings)
    except InputFault as fault:
        raise BadInput([Problem(fault.field, str(fault.value), fault.remedy)]) from None
    good, fair = found.percent < GOOD_PERCENT, found.percent <= FAIR_PERCENT
    fine = found.classes >= LEAST_CLASSES
    word = "good" if good and fine else "fair" if fair and fine else "poor"
    return vars(found) | {"word": word, "by_variance": check.both}
