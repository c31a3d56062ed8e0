"""Between plain JSON and the mechanics of tension in time."""

from collections.abc import Iterable

import numpy as np

from frames.forecast.history import Json
from frames.mechanics import InputFault, Pool, Seen, Segment, Step, Usual, pool
from frames.mechanics.relaxation import COLUMNS, WANDERING

NOISE_SD = 0.5  # of a reading with a meter nobody knows yet, N/cm (common practice)
NOISE_BELIEF = 10  # repeats that this counts for
SHARED = 0.5  # of the noise's variance is common to all readings of a check: zero, hand
PLACES_SD = 0.7  # between checks read at other places, N/cm (common practice)
WORST_SD = 20.0  # of a check by a meter far out: as good as no reading, N/cm
MOST_SEGMENTS = 600
DIGITS = 6


def noise(repeats: Iterable[Json]) -> dict[str, float]:
    """Sd of a reading by meter, from all repeats, shrunk towards the usual."""
    sums: dict[str, list[float]] = {}
    for row in repeats:
        total = sums.setdefault(row["meter"], [NOISE_BELIEF * NOISE_SD**2, NOISE_BELIEF])
        total[0] += row["square"]
        total[1] += row["freedom"]
    return {meter: round(float(np.sqrt(a / b)), 3) for meter, (a, b) in sorted(sums.items())}


def segment(body: Json, noise_sd: dict[str, float]) -> Segment:
    """One segment as the mechanics takes it."""
    return Segment(
        body["mesh"],
        body["target_n_per_cm"],
        body["retensions"],
        [_seen(check, noise_sd) for check in in_order(body)],
        [Step(step["at_h"], step["kind"]) for step in body["steps"]],
        [(at_h, count) for at_h, count in body["printed"]],
    )


def in_order(body: Json) -> list[Json]:
    """Its checks by time: a clock put back may have them out of order."""
    return sorted(body["seen"], key=lambda check: check["at_h"])


def _seen(check: Json, noise_sd: dict[str, float]) -> Seen:
    one = noise_sd.get(check["meter"] or "", NOISE_SD)
    variance = one**2 * (SHARED + (1 - SHARED) / check["readings"])
    if check["moved_places"]:
        variance += PLACES_SD**2 / check["readings"]
    variance += check["out"] ** 2  # when it went out is not known
    sd = min(float(np.sqrt(variance)), WORST_SD)
    return Seen(check["at_h"], check["n_per_cm"], sd, check["coated"], check["meter"])


def pooled(bodies: Iterable[Json], noise_sd: dict[str, float]) -> Pool:
    """What the newest segments of the shop have in common; those that cannot be teach nothing."""
    newest = sorted(bodies, key=lambda body: body["turned_ms"])[-MOST_SEGMENTS:]
    return pool([cut for body in newest if (cut := _if_possible(body, noise_sd))])


def _if_possible(body: Json, noise_sd: dict[str, float]) -> Segment | None:
    try:
        return segment(body, noise_sd)
    except InputFault:
        return None


def about(of: Json) -> list[str | int]:
    """What a segment's usual curve depends on, and by what terms it is told: those of another
    version of the model are of no use."""
    return [of["mesh"], of["retensions"], *COLUMNS, *WANDERING]


def usual_body(learned: Pool, of: Json, noise_sd: dict[str, float]) -> Json:
    """What the shop says about one segment, with the noise of its meters."""
    usual = learned.of(segment(of, noise_sd))
    lower = usual.covariance[np.tril_indices(len(usual.mean))]
    return {
        "about": about(of),
        "segments": learned.segments,
        "mean": _rounded(usual.mean),
        "covariance": _rounded(lower),
        "wander": _rounded(usual.wander),
        "biases": [[meter, *_rounded(pair)] for meter, pair in usual.biases.items()],
        "noise": noise_sd,
    }


def usual(body: Json) -> Usual:
    """The same as the mechanics takes it."""
    mean = np.array(body["mean"])
    covariance = np.zeros((len(mean), len(mean)))
    covariance[np.tril_indices(len(mean))] = body["covariance"]
    covariance += np.tril(covariance, -1).T
    biases = {meter: (bias, variance) for meter, bias, variance in body["biases"]}
    return Usual(mean, covariance, np.array(body["wander"]), biases)


def _rounded(values: Iterable[float]) -> list[float]:
    return [round(float(value), DIGITS) for value in values]
