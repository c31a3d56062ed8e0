"""How frames stand now: the frame, where it is, the screen on it and that screen's condition.

Read from state rows alone: six queries whatever the log holds.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any
from uuid import UUID

from django.utils.dateparse import parse_datetime

from frames import conditions
from frames.models import Derived, Frame, FrameState, Mesh, Press, ScreenState, Shop
from frames.wording import mark
from frames.wording import say as phrase
from shopfloor.office import say
from shopfloor.office.words import word

WITHOUT_MESH = {"word": "", "reason": mark("No mesh on it.")}
BURST = {"word": "burst", "reason": mark("The mesh burst; take it off.")}


@dataclass(frozen=True)
class Standing:
    frame: Frame
    size: str
    place: str
    on_press: str | None
    state: dict[str, Any]
    row: ScreenState | None
    condition: dict[str, str]
    mesh: str
    forecast: dict[str, Any] | None = None

    @property
    def screen(self) -> dict[str, Any] | None:
        """The screen's state as phones see it."""
        return self.row.body if self.row else None

    @property
    def burst(self) -> bool:
        """The torn mesh is still on the frame."""
        return bool(self.state.get("awaiting_removal"))

    @property
    def stencil(self) -> str:
        return self.screen["stencil"] if self.screen else ""

    @property
    def check(self) -> dict[str, Any] | None:
        return self.screen["last_check"] if self.screen else None

    @property
    def last_at(self) -> datetime | None:
        last = self.state.get("last")
        return moment(last["at"]) if last else None

    @property
    def check_at(self) -> datetime | None:
        return moment(self.check["at"]) if self.check else None


def moment(text: str | None) -> datetime | None:
    """A time as it was kept; phones were once believed without a zone."""
    read = parse_datetime(text) if text else None
    return read.replace(tzinfo=UTC) if read and read.tzinfo is None else read


@dataclass(frozen=True)
class Known:
    """What was read of all frames asked for, before any of them is told."""

    states: dict[UUID, FrameState]
    screens: dict[UUID, ScreenState]
    forecasts: dict[UUID, dict[str, Any]]
    named: dict[str, str]
    rules: dict[str, Any]
    now: datetime


def standings(frames: Iterable[Frame], shop: Shop, now: datetime) -> list[Standing]:
    frames = list(frames)
    ids = [frame.pk for frame in frames]
    states = {row.frame: row for row in FrameState.objects.filter(frame__in=ids)}
    live = ScreenState.objects.filter(screen__in=[s.screen for s in states.values() if s.screen])
    screens = {row.screen: row for row in live}
    named = {**names(Mesh), **names(Press)}
    known = Known(states, screens, forecasts(screens), named, shop.body(), now)
    return [stand(frame, known) for frame in frames]


def forecasts(screens: Iterable[UUID]) -> dict[UUID, dict[str, Any]]:
    """What is forecast, by screen; nothing for one that was not looked at yet."""
    rows = Derived.objects.of_kind("forecast").filter(screen__in=list(screens))
    return dict(rows.values_list("screen", "body"))


def names(model: type[Mesh] | type[Press]) -> dict[str, str]:
    return {str(pk): name for pk, name in model.objects.values_list("pk", "name")}


def stand(frame: Frame, known: Known) -> Standing:
    row = known.states.get(frame.pk)
    state = row.body if row else {}
    on = known.screens.get(row.screen) if row and row.screen else None
    screen = on.body if on else None
    forecast = fitting_forecast(known, on)
    place = state.get("place")
    return Standing(
        frame=frame,
        size=say.size(frame.inside_a_mm, frame.inside_b_mm, known.rules["length_unit"]),
        place=place_text(place, known.named),
        on_press=place["press"] if place and place["to"] == "press" else None,
        state=state,
        row=on,
        condition=condition_of(state, screen, known, forecast),
        mesh=known.named.get(screen["mesh"], phrase("a mesh that is not known here"))
        if screen
        else "",
        forecast=forecast,
    )


def fitting_forecast(known: Known, on: ScreenState | None) -> dict[str, Any] | None:
    """The forecast, if it was made with the last check."""
    told = known.forecasts.get(on.pk) if on else None
    check = on.body["last_check"] if on else None
    return told if told and check and conditions.knows(told, check) else None


def condition_of(
    state: dict, screen: dict | None, known: Known, forecast: dict | None
) -> dict[str, str]:
    if state.get("awaiting_removal"):
        return BURST | {"reason": phrase(BURST["reason"])}
    if screen is None:
        return WITHOUT_MESH | {"reason": phrase(WITHOUT_MESH["reason"])}
    now = int(known.now.timestamp() * 1000)
    return conditions.condition(screen, known.rules, now, forecast)


def place_text(place: dict[str, Any] | None, named: dict[str, str]) -> str:
    """Where a frame is, in words."""
    if place is None:
        return ""
    if place["to"] == "press":
        press = named.get(place["press"]) or phrase("a press")
        return phrase("{0}, station {1}", press, place["station"]) if place["station"] else press
    if place["to"] == "rack":
        return phrase("rack {0}", place["rack"]) if place["rack"] else phrase("rack")
    return phrase("out for repair") if place["to"] == "repair" else word("to", place["to"])
