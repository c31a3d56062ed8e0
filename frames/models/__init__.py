"""Three kinds of table: things are edited, the log is only inserted into, state is rebuilt."""

from frames.models.derived import Derived
from frames.models.log import Counter, Entry, Feed, InstallState, Refused
from frames.models.state import FrameState, MeterState, ScreenState
from frames.models.things import (
    Colour,
    Frame,
    Job,
    Mesh,
    Meter,
    Operator,
    Press,
    Shop,
    Thing,
)

THINGS: dict[str, type[Thing]] = {
    "shop": Shop,
    "frame": Frame,
    "mesh": Mesh,
    "press": Press,
    "meter": Meter,
    "operator": Operator,
    "job": Job,
    "colour": Colour,
}
STATES = {"frame": FrameState, "screen": ScreenState, "meter": MeterState}

__all__ = [
    "STATES",
    "THINGS",
    "Colour",
    "Counter",
    "Derived",
    "Entry",
    "Feed",
    "Frame",
    "FrameState",
    "InstallState",
    "Job",
    "Mesh",
    "Meter",
    "MeterState",
    "Operator",
    "Press",
    "Refused",
    "ScreenState",
    "Shop",
    "Thing",
]
