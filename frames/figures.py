"""What register costs: sums over the log for the manager."""

from collections import defaultdict
from collections.abc import Callable, Iterable
from datetime import date, datetime, timedelta
from typing import Any
from uuid import UUID

from frames.entries import corrected_ms
from frames.folding import effective
from frames.mechanics import rank_correlation
from frames.models import Derived, Entry, ScreenState

Json = dict[str, Any]
HOUR_MS, MINUTE_MS = 3_600_000, 60_000
LONGEST_MINUTES = 45.0  # a gap beyond this is a break, not work on register
KINDS = ("register_tweak", "after_marks", "cause_found")


def register_cost(since: datetime, until: datetime) -> Json:
    """Tweaks and minutes by cause, press, job and frame, most minutes first.

    {tweaks, minutes, open, cause, press, job, frame: [{id, tweaks, minutes, share, running}],
     weeks: [{day, tweaks, minutes}] by the Monday they begin with, oldest first, empty ones too,
     sets: [{job, spread, tweaks}], together: (rank correlation, p-value) | null}

    Minutes run from a tweak to its after marks, else to the next tweak on the same frame; `open`
    counts tweaks after which neither came within the hour's better part.
    """
    entries = _told(since, until)
    tweaks = _timed(entries)
    sums = {name: _pareto(tweaks, of) for name, of in BY.items()}
    sets = _sets(tweaks)
    pairs = [(row["spread"], row["tweaks"]) for row in sets]
    return {
        "tweaks": len(tweaks),
        "minutes": round(sum(t["minutes"] or 0 for t in tweaks)),
        "open": sum(t["minutes"] is None for t in tweaks),
        **sums,
        "weeks": _weeks(tweaks),
        "sets": sets,
        "together": rank_correlation(*zip(*pairs, strict=True)) if pairs else None,
    }


BY: dict[str, Callable[[Json], str | None]] = {
    "cause": lambda tweak: tweak["cause"] or "unknown",
    "press": lambda tweak: tweak["payload"].get("press"),
    "job": lambda tweak: tweak["payload"].get("job"),
    "frame": lambda tweak: tweak["frame"],
}


def _told(since: datetime, until: datetime) -> list[Json]:
    """Entries about register of that time, as corrections and voids leave them."""
    of_time = Entry.objects.filter(corrected_at__gte=since, corrected_at__lt=until)
    own = {row.pk: row for row in of_time.filter(kind__in=KINDS)}
    acts = {row.pk: row for row in Entry.objects.filter(target_id__in=own)}
    undone = Entry.objects.filter(target_id__in=acts, kind="void")
    every = [*own.values(), *acts.values(), *undone]
    return effective(row.raw for row in every)


def _timed(entries: list[Json]) -> list[Json]:
    """Tweaks with the minutes they took and the cause found last."""
    after = {e["payload"]["tweak"]: e for e in reversed(entries) if e["kind"] == "after_marks"}
    causes = {e["payload"]["tweak"]: e for e in entries if e["kind"] == "cause_found"}
    tweaks = [e for e in entries if e["kind"] == "register_tweak"]
    following: dict[str | None, int] = {}
    out = []
    for tweak in reversed(tweaks):
        at, end = corrected_ms(tweak), following.get(tweak["frame"])
        if tweak["id"] in after:
            end = corrected_ms(after[tweak["id"]])
        minutes = (end - at) / MINUTE_MS if end is not None else None
        known = minutes is not None and 0 <= minutes <= LONGEST_MINUTES
        found = causes.get(tweak["id"], tweak)["payload"].get("cause")
        out.append(tweak | {"minutes": minutes if known else None, "cause": found, "at": at})
        following[tweak["frame"]] = at
    return out[::-1]


def _pareto(tweaks: list[Json], of: Callable[[Json], str | None]) -> list[Json]:
    """Sums by one property, largest first, with the running share of all minutes."""
    groups: dict[str, list[Json]] = defaultdict(list)
    for tweak in tweaks:
        if of(tweak):
            groups[str(of(tweak))].append(tweak)
    rows = [
        {"id": id, "tweaks": len(its), "minutes": sum(t["minutes"] or 0 for t in its)}
        for id, its in groups.items()
    ]
    rows.sort(key=lambda row: (-row["minutes"], -row["tweaks"], row["id"]))
    total, running = sum(row["minutes"] for row in rows), 0.0
    for row in rows:
        running += row["minutes"]
        row["share"] = row["minutes"] / total if total else 0.0
        row["running"] = running / total if total else 0.0
        row["minutes"] = round(row["minutes"])
    return rows


def _weeks(tweaks: list[Json]) -> list[Json]:
    """Sums by week, as the offset of each entry's own clock tells its day."""
    sums: dict[date, Json] = {}
    for tweak in tweaks:
        day = datetime.fromisoformat(tweak["occurred_at"]).date()
        monday = day - timedelta(days=day.weekday())
        row = sums.setdefault(monday, {"day": monday, "tweaks": 0, "minutes": 0.0})
        row["tweaks"] += 1
        row["minutes"] += tweak["minutes"] or 0
    if not sums:
        return []
    first, last = min(sums), max(sums)
    mondays = [first + timedelta(weeks=n) for n in range((last - first).days // 7 + 1)]
    empty = {"tweaks": 0, "minutes": 0.0}
    rows = [sums.get(monday, {"day": monday, **empty}) for monday in mondays]
    return [row | {"minutes": round(row["minutes"])} for row in rows]


def _sets(tweaks: list[Json]) -> list[Json]:
    """By job: how far the screens of its set were off their targets, and tweaks it took."""
    by_job: dict[str, list[Json]] = defaultdict(list)
    for tweak in tweaks:
        if tweak["payload"].get("job"):
            by_job[tweak["payload"]["job"]].append(tweak)
    screens = _exposed_for(list(by_job))
    out = []
    for job, its in sorted(by_job.items()):
        off = _off_targets(screens[job], its[0]["at"])
        if len(off) > 1:
            spread = round(max(off) - min(off), 2)
            out.append({"job": job, "spread": spread, "tweaks": len(its)})
    return out


def _exposed_for(jobs: list[str]) -> dict[str, set[UUID]]:
    """Screens that ever carried a stencil for a job, by job."""
    screens: dict[str, set[UUID]] = defaultdict(set)
    for row in Entry.objects.filter(kind="exposed", job_id__in=jobs):
        screens[str(row.job_id)].add(row.screen_id or _on_frame(row))
    return screens


def _on_frame(row: Entry) -> UUID | None:
    """The screen then on the frame, for an entry that names no screen."""
    fitted = ScreenState.objects.filter(frame=row.frame_id, fitted_at__lte=row.corrected_at)
    return fitted.order_by("-fitted_at").values_list("screen", flat=True).first()


def _off_targets(screens: Iterable[UUID], at: int) -> list[float]:
    """Last reading before then less the target, of every screen that was read."""
    bodies = Derived.objects.of_kind("relaxing").filter(screen__in=[s for s in screens if s])
    out = []
    for body in bodies.values_list("body", flat=True):
        read = [
            seen["n_per_cm"] - cut["target_n_per_cm"]
            for cut in body["segments"]
            for seen in cut["seen"]
            if cut["turned_ms"] + seen["at_h"] * HOUR_MS <= at
        ]
        out += read[-1:]
    return out
