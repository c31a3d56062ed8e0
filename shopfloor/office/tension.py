"""A screen's tension over time, from its checks as corrections leave them."""

from dataclasses import dataclass, replace
from datetime import datetime

from frames import charting
from frames.effects import checked
from frames.entries import ACTS, corrected_ms
from frames.folding import effective
from frames.models import Entry, ScreenState
from frames.times import moment, utc_text
from shopfloor.office.belonging import entries_of, stands_on

NEWEST = 200
TARGETS = ("mesh_fitted", "target_set")


@dataclass(frozen=True)
class Reading:
    id: str
    at: datetime
    stencil: str
    spots: int
    low: float
    mean: float
    high: float
    spread: float
    floor: float
    ceiling: float
    out: float = 0.0

    @property
    def seconds(self) -> int:
        return int(self.at.timestamp())


def readings(screen: ScreenState) -> list[Reading]:
    """The newest checks of one screen, oldest first, each beside the tolerance of its time."""
    own = entries_of(screen).newest_first()
    newest = [*own.filter(kind__in=TARGETS), *own.filter(kind="tension_check")[:NEWEST]]
    raws = {entry.pk: entry.raw for entry in newest}
    acts = list(Entry.objects.filter(target_id__in=raws, kind__in=ACTS))
    undone = Entry.objects.filter(target_id__in=[act.pk for act in acts], kind="void")
    every = [*raws.values(), *(e.raw for e in acts), *(e.raw for e in undone)]
    found, target, tolerance = [], 0.0, 0.0
    out = charting.out_of(screen.pk)
    for raw in effective(every):
        payload = raw["payload"]
        if not stands_on(raw, screen):
            continue
        if raw["kind"] == "tension_check":
            one = reading(raw, target, tolerance)
            found.append(replace(one, out=out.get(one.id, 0.0)))
        else:
            target, tolerance = payload["target_n_per_cm"], payload["tolerance_n_per_cm"]
    return found


def reading(raw: dict, target: float, tolerance: float) -> Reading:
    at_ms = corrected_ms(raw)
    check = checked({"checks": {}}, raw, utc_text(at_ms))["last_check"]
    return Reading(
        id=raw["id"],
        at=moment(at_ms),
        stencil=check["stencil"],
        spots=len(check["spots"]),
        low=check["low"],
        mean=check["mean"],
        high=check["high"],
        spread=check["spread"],
        floor=target - tolerance,
        ceiling=target + tolerance,
    )
