"""How frames stand now: the frame, where it is, the screen on it and that screen's condition.

Read from state rows alone: five queries whatever the log holds.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from django.utils.dateparse import parse_datetime

from frames import conditions
from frames.models import Frame, FrameState, Mesh, Press, ScreenState, Shop
from shopfloor.office import say

WITHOUT_MESH = {"word": "", "reason": "No mesh on it."}
BURST = {"word": "burst", "reason": "The mesh burst; take it off."}


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
    return parse_datetime(text) if text else None


def standings(frames: Iterable[Frame], shop: Shop, now: datetime) -> list[Standing]:
    frames = list(frames)
    ids = [frame.pk for frame in frames]
    states = {row.frame: row for row in FrameState.objects.filter(frame__in=ids)}
    live = ScreenState.objects.filter(screen__in=[s.screen for s in states.values() if s.screen])
    screens = {row.screen: row for row in live}
    named = {**names(Mesh), **names(Press)}
    rules = shop.body()
    return [stand(frame, states.get(frame.pk), screens, named, rules, now) for frame in frames]


def names(model: type[Mesh] | type[Press]) -> dict[str, str]:
    return {str(pk): name for pk, name in model.objects.values_list("pk", "name")}


def stand(
    frame: Frame,
    row: FrameState | None,
    screens: dict[UUID, ScreenState],
    named: dict[str, str],
    rules: dict[str, Any],
    now: datetime,
) -> Standing:
    state = row.body if row else {}
    on = screens.get(row.screen) if row and row.screen else None
    screen = on.body if on else None
    place = state.get("place")
    return Standing(
        frame=frame,
        size=say.size(frame.inside_a_mm, frame.inside_b_mm, rules["length_unit"]),
        place=place_text(place, named),
        on_press=place["press"] if place and place["to"] == "press" else None,
        state=state,
        row=on,
        condition=condition_of(state, screen, rules, now),
        mesh=named.get(screen["mesh"], "a mesh that is not known here") if screen else "",
    )


def condition_of(state: dict, screen: dict | None, rules: dict, now: datetime) -> dict[str, str]:
    if state.get("awaiting_removal"):
        return BURST
    if screen is None:
        return WITHOUT_MESH
    return conditions.condition(screen, rules, int(now.timestamp() * 1000))


def place_text(place: dict[str, Any] | None, named: dict[str, str]) -> str:
    """Where a frame is, in words."""
    if place is None:
        return ""
    if place["to"] == "press":
        station = f", station {place['station']}" if place["station"] else ""
        return f"{named.get(place['press'], 'a press')}{station}"
    if place["to"] == "rack":
        return f"rack {place['rack']}" if place["rack"] else "rack"
    return {"repair": "out for repair"}.get(place["to"], place["to"])
