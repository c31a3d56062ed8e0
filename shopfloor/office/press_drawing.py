"""Where things stand in the drawing of a press: the frame from above, the printer below it."""

from dataclasses import dataclass
from typing import Any

Json = dict[str, Any]
# The box of the frame within the drawing of WIDE × HIGH; y runs down, away from the printer is up.
WIDE, HIGH = 640, 480
LEFT, TOP, ACROSS, DEEP = 140, 80, 360, 290
BAR, ARM, HEAD = 26, 40, 9


@dataclass(frozen=True)
class Box:
    x: float
    y: float
    width: float
    height: float


@dataclass(frozen=True)
class Arrow:
    """An adjuster: its number in the table, where it acts, the way its plus pushes the screen."""

    number: int
    name: str
    x: float
    y: float
    shaft: str
    head: str


def clamp_boxes(clamps: list[Json], wide_mm: float, deep_mm: float) -> list[Box]:
    """Parts of the frame's sides under clamps, for a frame of this size as it lies."""
    return [_clamp(clamp, wide_mm, deep_mm) for clamp in clamps]


def _clamp(clamp: Json, wide_mm: float, deep_mm: float) -> Box:
    lengthwise = clamp["side"] in ("near", "far")
    length = wide_mm if lengthwise else deep_mm
    start = min((clamp["from_mm"] or 0) / length, 1)
    end = min(1 if clamp["to_mm"] is None else clamp["to_mm"] / length, 1)
    if lengthwise:
        y = TOP + DEEP - BAR if clamp["side"] == "near" else TOP
        return Box(round(LEFT + start * ACROSS, 1), y, round((end - start) * ACROSS, 1), BAR)
    x = LEFT if clamp["side"] == "left" else LEFT + ACROSS - BAR
    return Box(x, round(TOP + (1 - end) * DEEP, 1), BAR, round((end - start) * DEEP, 1))


def arrows(adjusters: list[Json]) -> list[Arrow]:
    """In the order in which they are turned, numbered from 1; far outside, they stay in sight."""
    return [_arrow(number, adjuster) for number, adjuster in enumerate(adjusters, 1)]


def _arrow(number: int, adjuster: Json) -> Arrow:
    x = min(max(LEFT + adjuster["right"] * ACROSS, 30), WIDE - 30 - ARM)
    y = min(max(TOP + (1 - adjuster["away"]) * DEEP, 30 + ARM), HIGH - 40)
    x, y = round(x, 1), round(y, 1)
    if adjuster["moves"] == "right":
        tip = x + 14 + ARM
        shaft, head = (
            f"M{x + 14} {y}H{tip}",
            f"M{tip} {y}l-{HEAD} -{HEAD / 2}v{HEAD}Z",
        )
    else:
        tip = y - 14 - ARM
        shaft, head = (
            f"M{x} {y - 14}V{tip}",
            f"M{x} {tip}l-{HEAD / 2} {HEAD}h{HEAD}Z",
        )
    return Arrow(number, adjuster["name"], x, y, shaft, head)
