"""When a screen has rested, may be coated, leaves its tolerance: hours since the last turn."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from frames.wording import mark, say, written

from .faults import LONGEST_H, number
from .forecasting import Forecast, half_width
from .relaxation import curve

DAY_H = 24.0
HORIZON_H = 180 * DAY_H
MOST_IMPRESSIONS = 100_000
SHARE = 0.8  # of the band: each end is passed once in ten times
FAR_OFF = mark(
    "Printing alone, as this mesh wears, its lowest spot falls below {0} N/cm only after {1} "
    "impressions."
)
STOOD = mark(
    "By then the mesh loses no more than {0} N/cm in a day, and it has stood half an hour."
)
WEARS = mark("Printed with today, as this mesh wears, its lowest spot falls below {0} N/cm.")
LEAST_REST_H = 0.5  # before coating, whatever the curve says (common practice, no source)


@dataclass(frozen=True)
class When:
    """A moment: expected, and between which two it lies in eight of ten cases; hours since the
    last turn or impressions from now; None: not within `HORIZON_H` or `MOST_IMPRESSIONS`."""

    expected: float | None
    early: float | None
    late: float | None
    reason: str


@dataclass(frozen=True)
class Outlook:
    """``now`` (low, mean, high) of the tension, N/cm; ``day_costs`` N/cm lost in the next 24 h;
    the moments, each with its reason in one sentence."""

    now: tuple[float, float, float]
    day_costs: float
    resting_until: When
    coat_from: When
    in_tolerance_until: When
    impressions_left: When
    retension_by: When


def outlook(
    found: Forecast,
    now_h: float,
    tolerance_n_per_cm: float,
    lowest_spot_below: float = 0.0,
    rest_limit_n_per_cm: float = 0.5,
) -> Outlook:
    """Dates of a screen, if it is neither turned nor printed with (impressions: if not waited).

    Parameters
    ----------
    found : the forecast
    now_h : hours since the last turn
    tolerance_n_per_cm : of the screen
    lowest_spot_below : how far the lowest spot read below the mean at the last check, N/cm
    rest_limit_n_per_cm : a screen rests while the next 24 h cost more than this

    >>> from .forecasting import forecast
    >>> from .pooling import before_any_log
    >>> from .relaxation import Seen, Segment
    >>> s = Segment("90-48", 22, 0, [Seen(0.2, 24.0), Seen(16, 22.5)])
    >>> o = outlook(forecast(s, before_any_log()), 20, 1.5)
    >>> o.resting_until.early < o.resting_until.expected < o.retension_by.expected
    True
    """
    number("now_h", now_h, 0, LONGEST_H, "Enter hours since the last turn")
    number("tolerance_n_per_cm", tolerance_n_per_cm, 0.1, 50, "Enter the tolerance in N/cm")
    limit = found.segment.target_n_per_cm - tolerance_n_per_cm
    floor = limit + max(lowest_spot_below, 0.0)
    resting = _resting(found, rest_limit_n_per_cm)
    band = found.ahead(now_h, noise_sd=0, share=SHARE)
    until = _in_tolerance(found, now_h, floor, limit)
    left = _impressions_left(found, now_h, floor, limit)
    return Outlook(
        tuple(float(v[0]) for v in (band.low, band.mean, band.high)),
        float(_day_costs(found, np.array([now_h]))[0][0]),
        resting,
        _coat_from(resting, rest_limit_n_per_cm),
        until,
        left,
        _retension_by(until, now_h, limit),
    )


def _grid(start_h: float) -> np.ndarray:
    """Hours from the start to the horizon, finer at first."""
    return start_h + np.concatenate([[0.0], np.geomspace(0.25, HORIZON_H, 160)])


def _day_costs(found: Forecast, at_h: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """(times,) loss over the 24 h from then, N/cm, and its sd."""
    then, later = (found.moments(h) for h in (at_h, at_h + DAY_H))
    step = curve(found.segment, then) - curve(found.segment, later)
    mean, covariance = found.curve_now()
    return step @ mean, np.sqrt(np.einsum("ij,jk,ik->i", step, covariance, step))


def _resting(found: Forecast, limit: float) -> When:
    at = _grid(0.0)
    costs, sd = _day_costs(found, at)
    reach = half_width(6 + len(found.segment.seen), SHARE) * sd
    first = [_first(at, cost <= limit) for cost in (costs, costs - reach, costs + reach)]
    return When(*first, say("From then on 24 h cost no more than {0} N/cm.", written(limit, "g")))


def _coat_from(resting: When, limit: float) -> When:
    later = [None if h is None else max(h, LEAST_REST_H) for h in _three(resting)]
    return When(*later, say(STOOD, written(limit, "g")))


def _in_tolerance(found: Forecast, now_h: float, floor: float, limit: float) -> When:
    at = _grid(now_h)
    band = found.ahead(at, noise_sd=0, share=SHARE)
    first = [_first(at, path < floor) for path in (band.mean, band.low, band.high)]
    week = found.ahead([now_h, now_h + 7 * DAY_H], noise_sd=0).mean
    why = say(
        "Its lowest spot then falls below {0} N/cm; a week from now costs {1} N/cm without "
        "printing.",
        written(limit, ".1f"),
        written(max(week[0] - week[1], 0), ".1f"),
    )
    if band.mean[0] < floor:
        why = say("Its lowest spot is expected below {0} N/cm already.", written(limit, ".1f"))
    elif first[0] is None:
        why = say(
            "Without printing its lowest spot stays above {0} N/cm for half a year.",
            written(limit, ".1f"),
        )
    return When(*first, why)


def _impressions_left(found: Forecast, now_h: float, floor: float, limit: float) -> When:
    more = np.concatenate([[0.0], np.geomspace(10, MOST_IMPRESSIONS, 80)])
    made = found.segment.impressions + more
    band = found.ahead(np.full(len(more), now_h), made, noise_sd=0, share=SHARE)
    first = [_first(more, path < floor) for path in (band.mean, band.low, band.high)]
    low = written(limit, ".1f")
    if first[0] is None:
        return When(*first, say(FAR_OFF, low, MOST_IMPRESSIONS))
    return When(*first, say(WEARS, low))


def _retension_by(until: When, now_h: float, limit: float) -> When:
    why = say(
        "Until then the chance of a spot below {0} N/cm is less than one in ten.",
        written(limit, ".1f"),
    )
    if until.early == now_h:
        why = say(
            "The chance of a spot below {0} N/cm is one in ten or more already.",
            written(limit, ".1f"),
        )
    return When(until.early, until.early, until.expected, why)


def _first(at: np.ndarray, met: np.ndarray) -> float | None:
    """When a condition is first met, or None."""
    return float(at[met.argmax()]) if met.any() else None


def _three(when: When) -> tuple[float | None, float | None, float | None]:
    return when.expected, when.early, when.late
