"""What the log says about a screen, as steps of the estimate."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from statistics import median
from typing import Any

from frames.advice.setup import PER_TURN, Json, Setup
from frames.entries import corrected_ms
from frames.mechanics import Reading, State, after_readings, after_rest, after_turns, reset
from frames.times import reckoned_ms
from frames.wording import say

HOUR_MS = 3_600_000
TURNS = ("bolt_turns", "register_tweak")
HANDLED = ("washed", "coated", "reclaimed")
USED = {*TURNS, *HANDLED, "mesh_fitted", "nipped_up", "tension_check", "stand_out"}


@dataclass(frozen=True)
class Believed:
    """The estimate at one moment of the log; times in UTC ms, None where nothing happened yet."""

    state: State
    at: int | None = None
    turned_at: int | None = None
    zero_mm: float | None = None
    handled: int = 0
    why: str | None = None


@dataclass(frozen=True)
class Step:
    """One entry (and the nipping up that ended its round) with what was believed around it."""

    entry: Json
    before: Believed
    after: Believed


def follow(setup: Setup, start: Believed, entries: Iterable[Json]) -> Iterator[Step]:
    """Every step that the entries make, in fold order."""
    now = start
    for entry, nipped in _rounds(entries):
        rested = _rest(now, entry)
        later = _take(setup, rested, entry, nipped)
        yield Step(entry, rested, later)
        now = later


def _rounds(entries: Iterable[Json]) -> Iterator[tuple[Json, Json | None]]:
    """Entries that matter, each round with the nipping up that follows it."""
    held: Json | None = None
    for entry in entries:
        if entry["kind"] not in USED:
            continue
        if entry["kind"] == "nipped_up":
            if held:
                yield held, entry
            held = None
            continue
        if held:
            yield held, None
        held = entry if entry["kind"] in TURNS else None
        if not held:
            yield entry, None
    if held:
        yield held, None


def _rest(now: Believed, entry: Json) -> Believed:
    """What the time since the last step did, before something is read or turned."""
    at = corrected_ms(entry)
    reads = entry["kind"] == "tension_check" or entry["kind"] in TURNS
    if now.at is None or not reads:
        return now
    since = now.at if now.turned_at is None else now.turned_at
    hours = [max(moment - since, 0) / HOUR_MS for moment in (now.at, at)]
    rested = after_rest(now.state, *hours, handled=now.handled)
    return replace(now, state=rested, at=max(at, now.at), handled=0)


def _take(setup: Setup, now: Believed, entry: Json, nipped: Json | None) -> Believed:
    kind, payload, at = entry["kind"], entry["payload"], corrected_ms(entry)
    here = replace(now, at=max(at, now.at or at))
    if kind in TURNS:
        return _turn(setup, here, payload["bolts"], nipped and nipped["payload"]["bolts"], at)
    if kind == "tension_check":
        return _read(here, payload)
    if kind == "stand_out":
        return _measured(setup, here, payload["bolts"])
    if kind == "mesh_fitted":
        return _fitted(here, payload)
    return replace(here, handled=here.handled + 1)


def _fitted(now: Believed, payload: Json) -> Believed:
    if not payload.get("second_hand"):
        return now
    why = say("The screen came stretched: nobody counted its turns.")
    return replace(now, state=replace(now.state, trusted=False), why=why)


def _turn(
    setup: Setup, now: Believed, bolts: list[Json], nipped: list[Json] | None, at: int
) -> Believed:
    layout, limits = setup.layout, setup.limits
    turns = in_turns(setup, bolts)
    if not turns:
        return now
    state = after_turns(
        now.state,
        turns,
        limits.turnable(layout) | (layout.vector(dict.fromkeys(turns, 1.0)) > 0),
        limits.is_broken(layout),
        None if nipped is None else in_turns(setup, nipped),
    )
    return replace(now, state=state, turned_at=at)


def in_turns(setup: Setup, bolts: Iterable[Json]) -> dict[str, float]:
    """Whole turns by bolt; bolts that this frame does not have are left out."""
    out: dict[str, float] = {}
    for turned in bolts:
        if turned["bolt"] in setup.layout.names:
            out[turned["bolt"]] = out.get(turned["bolt"], 0.0) + turned["turn_48ths"] / PER_TURN
    return out


def _read(now: Believed, payload: Json) -> Believed:
    """Readings over a stencil are kept apart: the estimate is that of the bare mesh."""
    if payload["stencil"] == "coated":
        return now
    state = after_readings(now.state, readings_of(payload["spots"]))
    doubted = now.state.trusted and not state.trusted
    why = state.surprise.message if doubted and state.surprise else now.why
    return replace(now, state=state, why=why)


def readings_of(spots: Iterable[Json]) -> list[Reading]:
    return [
        Reading(s["u"], s["v"], s.get("along_a_n_per_cm"), s.get("across_a_n_per_cm"))
        for s in spots
    ]


def _measured(setup: Setup, now: Believed, bolts: list[Json]) -> Believed:
    """Stand-outs put the bars where they are; only sides measured at two bolts can say so."""
    layout = setup.layout
    told = {b["bolt"]: b["stand_out_mm"] for b in bolts if b["bolt"] in layout.names}
    sides: dict[str, Any] = {}
    for bolt, value in told.items():
        sides.setdefault(bolt[0], {})[bolt] = value
    enough = {
        bolt: value
        for side, its in sides.items()
        if len(its) >= min(2, len(layout.bolts[side]))
        for bolt, value in its.items()
    }
    if not enough:
        return now
    zero = now.zero_mm
    if zero is None:
        zero = median(mm - now.state.bar_mm[layout.index(b)] for b, mm in enough.items())
    return replace(now, state=reset(now.state, enough, float(zero)), zero_mm=float(zero), why=None)


def from_totals(screen: Json) -> list[Json]:
    """The least of a history: all turns at once, then the last bare check."""
    at = {"occurred_at": screen["fitted_at"], "clock_offset_ms": 0}
    bolts = [{"bolt": b, "turn_48ths": t} for b, t in screen["turns"].items() if t]
    turned = {"kind": "bolt_turns", "payload": {"bolts": bolts}, **at}
    check = screen["checks"]["bare"]
    if not check:
        return [turned]
    payload = {"stencil": "bare", "spots": check["spots"]}
    return [turned, {"kind": "tension_check", "payload": payload, **at, "occurred_at": check["at"]}]


def moment_of(text: str | None) -> int | None:
    return None if text is None else reckoned_ms(text)
