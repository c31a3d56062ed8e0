"""When which meter was out: a zero check on glass speaks for the time back to the one before."""

from collections.abc import Iterable
from datetime import timedelta
from functools import lru_cache
from uuid import UUID

from django.db.models import Max

from frames import feed, links
from frames.derived.sources import Json
from frames.entries import ACTS, corrected_ms
from frames.folding import effective
from frames.mechanics.meter import ZERO_LIMIT
from frames.models import Entry, Meter

Zeros = tuple[tuple[int, float], ...]
# nobody knows longer than this back when a meter went out (common practice, no source)
LOOK_BACK = timedelta(days=30)


def out(checks: Iterable[Json]) -> dict[str, float]:
    """Of these entries, checks read while their meter was out, with what it showed on glass."""
    epoch, to = feed.head().epoch, Entry.objects.aggregate(to=Max("seq"))["to"]
    found = {}
    for check in checks:
        meter = check["payload"].get("meter")
        off = was_out(_zeros(epoch, to, meter), corrected_ms(check)) if meter else 0.0
        if off:
            found[check["id"]] = off
    return found


def was_out(zeros: Zeros, at: int) -> float:
    """What the next zero check after a reading showed, if it was too much; 0 if all was well.

    >>> was_out(((0, 0.0), (5000, 1.5)), 3000), was_out(((0, 0.0), (5000, 1.5)), 6000)
    (1.5, 0.0)
    """
    later = [(when, zero) for when, zero in zeros if when > at]
    if not later or abs(later[0][1]) <= ZERO_LIMIT:
        return 0.0
    return later[0][1] if later[0][0] - at <= LOOK_BACK.total_seconds() * 1000 else 0.0


@lru_cache(maxsize=64)
def _zeros(epoch: str, to: int, meter: str) -> Zeros:
    """Zero checks of a meter in order of time; read once while the log stands there."""
    return zeros_of(UUID(meter))


def zeros_of(meter: UUID) -> Zeros:
    """(when, N/cm on glass) of every zero check, as corrections and voids leave them.

    One that names a screen brings the other entries of that screen along, zero checks of other
    meters among them: only this meter's own speak.
    """
    told = effective(row.raw for row in links.of_meter(meter))
    own = (e for e in told if e["kind"] == "meter_zeroed" and _is_about(e, meter))
    return tuple((corrected_ms(e), e["payload"]["zero_n_per_cm"]) for e in own)


def _is_about(entry: Json, meter: UUID) -> bool:
    return (entry["subject"] or {}).get("id") == str(meter)


def frames_read_before(entries: Iterable[Entry]) -> set[UUID]:
    """Frames with readings that new zero checks, or acts upon old ones, throw doubt on."""
    zeroed = [row for row in entries if row.kind in ("meter_zeroed", *ACTS)]
    return set(links.frames_of_screens(_read_before(zeroed)).values())


def _read_before(zeroed: Iterable[Entry]) -> set[UUID | None]:
    screens: set[UUID | None] = set()
    for row in [r for r in links.closure(zeroed) if r.kind == "meter_zeroed"]:
        before = Entry.objects.filter(
            subject_id=row.subject_id, kind=row.kind, corrected_at__lt=row.corrected_at
        ).aggregate(at=Max("corrected_at"))["at"]
        since = max(before or row.corrected_at - LOOK_BACK, row.corrected_at - LOOK_BACK)
        checks = Entry.objects.filter(
            kind="tension_check", corrected_at__gte=since, corrected_at__lt=row.corrected_at
        )
        meter = str(row.subject_id)
        screens |= {c.screen_id for c in checks if c.raw["payload"].get("meter") == meter}
    return screens


def studied() -> list[Json]:
    """What studies of meters taught of their noise: {meter, square, freedom} of single readings."""
    found = []
    for meter in Meter.objects.all():
        for study in meter.studies:
            groups = [values for person in study["readings"] for values in person]
            means = [sum(values) / len(values) for values in groups]
            square = sum((v - m) ** 2 for m, g in zip(means, groups, strict=True) for v in g)
            freedom = sum(len(values) - 1 for values in groups)
            found.append({"meter": str(meter.pk), "square": square, "freedom": freedom})
    return found
