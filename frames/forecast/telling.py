"""One screen's forecast as plain JSON, with a reason for every date."""

from frames.forecast import wire
from frames.forecast.history import HOUR_MS, Json
from frames.mechanics import CAUSES, Forecast, Shift, Signs, When, forecast, likely_causes, outlook
from frames.times import utc_text
from frames.wording import mark, say, written

VERSION = 1
AHEAD_H = (0, 6, 24, 48, 96, 168, 336, 504, 720, 1080, 1440, 2160, 4320)
MINUTE_MS = 60_000
NAMES = ("mean", "low", "high")
NOT_YET = mark("There is no check since the last turn.")
ABOVE = mark("{0} N/cm is {1} above what relaxation explains: {2}.")
BELOW = mark("{0} N/cm is {1} below what relaxation explains: {2}.")
COATED = mark("It is coated already.")


def tell(asked: Json) -> Json:
    """The body of the feed's kind "forecast".

    Parameters
    ----------
    asked : {segment: see `history`, usual: see `wire.usual_body`, tolerance_n_per_cm,
        rest_limit_n_per_cm}
    """
    cut, noise_sd = asked["segment"], asked["usual"]["noise"]
    found = forecast(wire.segment(cut, noise_sd), wire.usual(asked["usual"]))
    last = cut["seen"][-1] if cut["seen"] else None
    now_h = found.segment.last_h
    told = outlook(
        found,
        now_h,
        asked["tolerance_n_per_cm"],
        last["below"] if last else 0.0,
        asked["rest_limit_n_per_cm"],
    )
    at = _Clock(cut["turned_ms"])
    coated = bool(last and last["coated"])
    return {
        "v": VERSION,
        "turned_at": at.text(0.0),
        "after": last and last["id"],
        "segments": asked["usual"]["segments"],
        "impressions": found.segment.impressions,
        "rest_limit_n_per_cm": asked["rest_limit_n_per_cm"],
        "resting_until": at.when(told.resting_until),
        "coat_from": _no(say(COATED)) if coated else at.when(told.coat_from),
        "in_tolerance_until": at.when(told.in_tolerance_until) if last else _no(say(NOT_YET)),
        "retension_by": at.when(told.retension_by) if last else _no(say(NOT_YET)),
        "impressions_left": _count(told.impressions_left) if last else _no(say(NOT_YET)),
        "jumps": [_jump(shift, cut, found) for shift in found.shifts],
        "doubted": [_doubted(seen) for seen in cut["seen"] if seen["out"]],
        "curve": _curve(found, now_h, at),
    }


def ahead(asked: Json, at_ms: int, more_impressions: int = 0) -> Json:
    """{mean, low, high} of the tension itself at a time, with as much printed until then."""
    cut = asked["segment"]
    found = forecast(wire.segment(cut, asked["usual"]["noise"]), wire.usual(asked["usual"]))
    hours = max((at_ms - cut["turned_ms"]) / HOUR_MS, found.segment.last_h)
    made = found.segment.impressions + more_impressions
    band = found.ahead([hours], made, noise_sd=0.0)
    return {name: round(float(getattr(band, name)[0]), 2) for name in NAMES}


class _Clock:
    """Hours since the last turn → times as they travel, to the minute."""

    def __init__(self, turned_ms: int) -> None:
        self.turned_ms = turned_ms

    def text(self, hours: float | None) -> str | None:
        if hours is None:
            return None
        minutes = round((self.turned_ms + hours * HOUR_MS) / MINUTE_MS)
        return utc_text(minutes * MINUTE_MS)

    def when(self, when: When) -> Json:
        ends = {name: self.text(getattr(when, name)) for name in ("early", "late")}
        return {"at": self.text(when.expected), **ends, "reason": when.reason}


def _no(reason: str) -> Json:
    return {"at": None, "early": None, "late": None, "reason": reason}


def _count(when: When) -> Json:
    """Impressions, two digits of them: more would be pretence."""
    ends = {name: _two_digits(getattr(when, name)) for name in ("early", "late")}
    return {"at": _two_digits(when.expected), **ends, "reason": when.reason}


def _two_digits(count: float | None) -> int | None:
    return None if count is None else int(float(f"{count:.1e}"))


def _jump(shift: Shift, cut: Json, found: Forecast) -> Json:
    here, before = cut["seen"][shift.index], cut["seen"][shift.index - 1]
    signs = Signs(
        meter_changed=here["meter"] != before["meter"],
        meter_off=bool(here["out"]),
        stencil_differs=here["odd_stencil"],
        label_scanned=here["scanned"],
        worst_beyond_mean=here["local"] if shift.n_per_cm < 0 else 0.0,
    )
    causes = likely_causes(shift, signs)
    return {
        "check": here["id"],
        "n_per_cm": round(shift.n_per_cm, 1),
        "lasting": shift.lasting,
        "causes": list(causes),
        "message": _sentence(shift, causes, found),
    }


def _doubted(seen: Json) -> Json:
    message = say(
        "Its meter showed {0} N/cm on glass at the next zero check: this reading may be "
        "off by as much. Read it again.",
        written(seen["out"], ".1f"),
    )
    return {"check": seen["id"], "n_per_cm": seen["out"], "message": message}


def _sentence(shift: Shift, causes: tuple[str, ...], found: Forecast) -> str:
    read = found.segment.seen[shift.index].n_per_cm
    off = written(abs(shift.n_per_cm), ".1f")
    why = f" {say('or')} ".join(say(CAUSES[cause]) for cause in causes[:3])
    said = say(ABOVE if shift.n_per_cm > 0 else BELOW, written(read, ".1f"), off, why)
    again = say("Read it again before you rely on it.") if shift.lasting is None else ""
    return f"{said} {again}".strip()


def _curve(found: Forecast, now_h: float, at: _Clock) -> list[Json]:
    """Expected tension from the last thing known on, for a month without printing."""
    if not found.segment.seen:
        return []
    hours = [now_h + h for h in AHEAD_H]
    band = found.ahead(hours, noise_sd=wire.NOISE_SD, share=0.8)
    return [
        {"at": at.text(h), **{name: round(float(getattr(band, name)[i]), 2) for name in NAMES}}
        for i, h in enumerate(hours)
    ]
