"""Which screens a job is best printed with: the rack as it stands, its forecasts, the mechanics."""

import time
from collections.abc import Collection, Iterable
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from frames import conditions, forecast
from frames.mechanics import Candidate, MatchedSet, Wanted, choose, successors
from frames.models import Colour, Derived, Frame, FrameState, Job, Mesh, ScreenState, Shop
from frames.wording import mark, say

Json = dict[str, Any]
AWAY = {
    "repair": mark("It is out for repair."),
    "lost": mark("It is lost."),
    "scrapped": mark("It is scrapped."),
}
NO_FORECAST = mark("There is no check since its last turn to forecast from.")
SIZE_MM = 1.0
HOLDS = ("holding", "due", "resting")
UNKNOWN = "unknown"


@dataclass(frozen=True)
class OnRack:
    """A live screen with the frame it is on and what it is expected to read on the day."""

    state: ScreenState
    frame: Frame
    place: Json
    mesh: str
    expected: Json | None
    condition: Json

    @property
    def holds(self) -> bool:
        """Whether it could print at once."""
        return self.condition["word"] in HOLDS

    @property
    def size(self) -> str:
        return size_of(self.frame.inside_a_mm, self.frame.inside_b_mm)

    @property
    def deviation(self) -> float:
        """Expected tension less the screen's own target, N/cm."""
        return round(self.expected["mean"] - self.state.target, 2) if self.expected else 0.0

    def blocked(self) -> str | None:
        """Why it cannot be used, whatever the colour."""
        if not self.expected:
            return say(NO_FORECAST)
        if self.condition["word"] == "uneven":
            return self.condition["reason"]
        away = AWAY.get(self.place.get("to", ""))
        return say(away) if away else None

    def candidate(self) -> Candidate:
        return Candidate(
            self.frame.code,
            self.mesh,
            self.size,
            self.deviation,
            self.state.body["retensions"],
            self.state.stencil != "bare" or self.state.job is not None,
            self.blocked(),
        )


def size_of(inside_a_mm: float, inside_b_mm: float) -> str:
    """A size by which frames are told alike."""
    return " × ".join(f"{SIZE_MM * round(mm / SIZE_MM):g}" for mm in (inside_a_mm, inside_b_mm))


def for_job(job: Job, at_ms: int, spread_limit: float = 2.0) -> Json:
    """The best set for a job on the day, with all that is to be said about it.

    Parameters
    ----------
    at_ms : when it is printed, UTC milliseconds since 1970
    spread_limit : between the deviations of a set, N/cm
    """
    colours = list(job.colours.in_use().select_related("mesh").order_by("position"))
    open_ = [str(colour) for colour in colours if colour.mesh is None]
    rack = on_rack({c.mesh_id for c in colours if c.mesh_id}, at_ms)
    wanted = [_wanted(colour, job, rack) for colour in colours if colour.mesh]
    if not wanted:
        return {"colours": [], "open": open_, "message": say("No colour names its mesh yet.")}
    found = choose(wanted, [screen.candidate() for screen in rack], spread_limit)
    by_code = {screen.frame.code: screen for screen in rack}
    chosen = _rows(wanted, found.best, by_code)
    unknown = [row["code"] for row in chosen if row["condition"]["word"] == UNKNOWN]
    return {
        "colours": chosen,
        "open": open_,
        "check_first": unknown,
        "passes": found.passes and not open_ and not unknown,
        "spread": _spread(found.best),
        "limit": spread_limit,
        "runner_up": _rows(wanted, found.runner_up, by_code) if found.runner_up else [],
        "runner_up_spread": _spread(found.runner_up),
        "left_out": [
            {"frame": str(by_code[code].frame.pk), "code": code, "why": why}
            for code, why in sorted(found.left_out.items())
        ],
        "retension": list(found.retension),
        "after": found.after,
        "message": found.message,
    }


def after_burst(lost: ScreenState, at_ms: int) -> list[Json]:
    """Who can take over from a screen that burst, the best first."""
    return after_bursts([lost], at_ms)[lost.pk]


def after_bursts(lost: Collection[ScreenState], at_ms: int) -> dict[UUID, list[Json]]:
    """The same for several, by screen: the rack is read once."""
    rack = [screen for screen in on_rack({one.mesh for one in lost}, at_ms) if screen.holds]
    by_code = {screen.frame.code: screen for screen in rack}
    offered = [screen.candidate() for screen in rack]
    frames = Frame.objects.in_bulk([one.frame for one in lost])
    names = dict(Mesh.objects.values_list("pk", "name"))
    found = {one.pk: successors(_gone(one, frames[one.frame], names), offered) for one in lost}
    return {pk: [_row("", by_code[one.screen]) for one in best] for pk, best in found.items()}


def _gone(lost: ScreenState, frame: Frame, names: dict[UUID, str]) -> Candidate:
    size, mesh = size_of(frame.inside_a_mm, frame.inside_b_mm), names.get(lost.mesh, "")
    return Candidate(frame.code, mesh, size, 0.0, lost.body["retensions"], stencil=True)


def on_rack(meshes: Iterable[UUID], at_ms: int) -> list[OnRack]:
    """Live screens with these meshes, each with its forecast for that time."""
    states = list(ScreenState.objects.live().filter(mesh__in=list(meshes)))
    frames = Frame.objects.in_use().in_bulk([s.frame for s in states])
    places = FrameState.objects.in_bulk([s.frame for s in states])
    names = {pk: name for pk, name in Mesh.objects.values_list("pk", "name")}
    asked = _forecasts(states)
    shop, now_ms = (Shop.objects.first() or Shop()).body(), round(time.time() * 1000)
    told = _told(states)
    return [
        OnRack(
            state,
            frames[state.frame],
            (places[state.frame].body["place"] or {}) if state.frame in places else {},
            names.get(state.mesh, ""),
            _expected(asked.get(state.pk), at_ms),
            conditions.condition(state.body, shop, now_ms, told.get(state.pk)),
        )
        for state in sorted(states, key=lambda s: str(s.pk))
        if state.frame in frames
    ]


def _told(states: list[ScreenState]) -> dict[UUID, Json]:
    """What phones are told of each, to say its condition by."""
    rows = Derived.objects.of_kind("forecast").filter(screen__in=[s.pk for s in states])
    return dict(rows.values_list("screen", "body"))


def _forecasts(states: list[ScreenState]) -> dict[UUID, Json]:
    """What a forecast is made from, by screen: its present segment and what is usual for it."""
    rows = Derived.objects.filter(screen__in=[s.pk for s in states])
    kinds: dict[str, dict[UUID, Json]] = {"relaxing": {}, "usual": {}}
    for row in rows.filter(kind__in=kinds):
        kinds[row.kind][row.screen] = row.body
    cut, usual = kinds.values()
    return {
        screen: {"segment": cut[screen]["segments"][-1], "usual": usual[screen]}
        for screen in cut.keys() & usual.keys()
        if cut[screen]["segments"]
    }


def _expected(asked: Json | None, at_ms: int) -> Json | None:
    if not asked or not asked["segment"]["seen"]:
        return None
    return forecast.ahead(asked, at_ms)


def _wanted(colour: Colour, job: Job, rack: list[OnRack]) -> Wanted:
    sized = job.inside_a_mm and job.inside_b_mm
    stencils = {colour.pk, colour.repeats_id} - {None}
    stored = [s for s in rack if s.state.colour in stencils and s.state.stencil != "bare"]
    return Wanted(
        str(colour),
        colour.mesh.name,
        size_of(job.inside_a_mm, job.inside_b_mm) if sized else None,
        stored[0].frame.code if stored else None,
    )


def _rows(wanted: list[Wanted], found: MatchedSet, by_code: dict[str, OnRack]) -> list[Json]:
    chosen = found.screens
    return [_row(w.colour, by_code[chosen[w.colour]]) for w in wanted if w.colour in chosen]


def _row(colour: str, screen: OnRack) -> Json:
    place = {"rack": screen.place.get("rack"), "to": screen.place.get("to")}
    return {
        "colour": colour,
        "code": screen.frame.code,
        "frame": str(screen.frame.pk),
        "screen": str(screen.state.pk),
        "target": screen.state.target,
        "deviation": screen.deviation,
        "retensions": screen.state.body["retensions"],
        "condition": screen.condition,
        "inside": abs(screen.deviation) <= screen.state.body["tolerance_n_per_cm"],
        **(screen.expected or {}),
        **place,
    }


def _spread(found: MatchedSet | None) -> float | None:
    return round(found.spread_n_per_cm, 2) if found and found.screens else None
