"""What advice answers, as it goes over the wire. `frames.advice` says what it means."""

from typing import Any, Literal

from ninja import Field, Schema


class TurnedOut(Schema):
    bolt: str
    turn_48ths: int


class BandOut(Schema):
    """N/cm; nine readings of ten should fall from low to high."""

    value: float
    low: float
    high: float


class ForetoldOut(Schema):
    u: float
    v: float
    along_a: BandOut | None
    across_a: BandOut | None


class PlaceOut(Schema):
    u: float
    v: float


class MoveOut(Schema):
    u: float
    v: float
    dx_mm: float
    dy_mm: float


class TightOut(Schema):
    corner: Literal["D/A", "A/B", "C/D", "B/C"]
    way: Literal["along_a", "across_a"]
    above_n_per_cm: float = Field(description="Above the mean over the image")


class CornersOut(Schema):
    v: Literal[1]
    status: Literal["ease", "leave", "blocked"]
    message: str
    bolts: list[TurnedOut]
    tight: list[TightOut]
    read: bool = Field(description="Whether any readings are known")
    trusted: bool
    cautions: list[str]


class AnswerOut(Schema):
    v: Literal[1]
    predicted: list[ForetoldOut] = Field(description="Readings expected at the places last read")
    loose: list[str] = Field(description="Bolts expected to hang loose: nip them up")
    trusted: bool = Field(description="Whether the count of turns is to be relied on")
    cautions: list[str] = Field(description="To be shown beside every answer")


class PlanOut(AnswerOut):
    message: str
    bolts: list[TurnedOut] = Field(description="In wrench order; + tightens")
    limits: list[str] = Field(description="What shaped or held the plan")
    payload: dict[str, Any] | None = Field(description="Of the `turn_plan` entry to save")


class TensionOut(PlanOut):
    status: Literal["reaches", "towards", "leave", "blocked", "refused", "even_up"]
    read_next: PlaceOut | None = Field(description="The worst predicted place between readings")
    rounds_left: int = Field(description="To target, this one included")
    nip_first: list[str]
    highest_n_per_cm: float | None
    why: str | None = Field(description="Why the count of turns is not to be relied on")


class VerdictOut(Schema):
    word: Literal["real", "scatter", "small"]
    rms_mm: float
    chance: float


class PartOut(Schema):
    name: str
    word: str
    value: float
    sd: float
    unit: Literal["mm", "mm_per_m"]
    known: bool


class AdjusterOut(Schema):
    name: str
    divisions: float
    unit: str
    way: str


class PressOut(Schema):
    steps: list[str]
    limited: list[str]
    adjusters: list[AdjusterOut]


class PointOut(Schema):
    bolts: int
    marks_mm: float
    image_mm: float


class RangeOut(Schema):
    low: float
    high: float


class RegisterOut(PlanOut):
    answer: Literal["leave_alone", "press", "bolts", "bolts_cannot"]
    verdict: VerdictOut
    parts: list[PartOut]
    sheet: list[PartOut] | None
    marks: list[MoveOut]
    arrows: list[MoveOut] = Field(description="What the image will do at the marks")
    image: list[MoveOut] = Field(description="And over the image")
    after: list[MoveOut] = Field(description="What the marks should show then")
    press: PressOut | None
    curve: list[PointOut] = Field(description="Miss against bolts moved")
    before_mm: float | None
    after_mm: float | None
    tension_change: RangeOut | None
    cost_n_per_cm: float | None


class MapOut(Schema):
    """Rows by v of values by u, N/cm."""

    u: list[float]
    v: list[float]
    along_a: list[list[float]]
    across_a: list[list[float]]
    change_along_a: list[list[float]]
    change_across_a: list[list[float]]


class WhatIfOut(AnswerOut):
    map: MapOut
    moved: list[MoveOut]
    highest_n_per_cm: float
    warnings: list[str]
