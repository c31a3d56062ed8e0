"""What each kind of entry carries: one shape per kind, version 1, units in the names."""

from typing import Annotated, Any

from pydantic import AfterValidator, BaseModel, ConfigDict

from frames.fields import (
    Bolt,
    Fraction,
    Note,
    Tension,
    Time,
    Tolerance,
    Uuid,
    YesNo,
    choice,
    number,
    text,
    whole,
)
from frames.wording import say

Face = choice("squeegee", "print")
Side = choice("A", "B", "C", "D")
Turn = whole(-480, 480, "Give a turn in 48ths, at most ten turns (480) either way.")
Travel = number(-50, 50, "Give how far it printed off, at most 50 mm either way.")
Impressions = whole(0, 100_000_000, "Give a whole number of impressions, 0 or more.")
Station = whole(1, 99, "Give the station's number, from 1.")
Place = text(60, "Shorten the rack place to 60 characters.")
Purpose = choice("stretch", "retension", "register", "even_up")
Foretold = number(-150, 300, "Give the tension foretold, within 300 N/cm.")
Piece = number(50, 8000, "Give the piece of mesh in mm, from 50 to 8000.")
Cause = choice("sheet", "mesh", "press", "lays", "film", "unknown")


class Shape(BaseModel):
    model_config = ConfigDict(strict=True, frozen=True)


class Turned(Shape):
    bolt: Bolt
    turn_48ths: Turn


class StoodOut(Shape):
    bolt: Bolt
    stand_out_mm: number(-20, 100, "Give the stand-out in mm, from -20 to 100.")


class Spot(Shape):
    u: Fraction
    v: Fraction
    along_a_n_per_cm: Tension | None = None
    across_a_n_per_cm: Tension | None = None


class Mark(Shape):
    u: Fraction
    v: Fraction
    dx_mm: Travel
    dy_mm: Travel


def _every_spot_read(spots: list[Spot]) -> list[Spot]:
    if not spots or any(s.along_a_n_per_cm is None and s.across_a_n_per_cm is None for s in spots):
        raise ValueError(say("Give at least one reading at every spot, or leave the spot out."))
    return spots


def _some_bolt(bolts: list[Turned]) -> list[Turned]:
    if not bolts:
        raise ValueError(say("Give at least one bolt that was turned."))
    return bolts


class MeshFitted(Shape):
    mesh: Uuid
    warp: choice("x", "y", "unknown")
    target_n_per_cm: Tension
    tolerance_n_per_cm: Tolerance
    second_hand: YesNo = False


class TargetSet(Shape):
    target_n_per_cm: Tension
    tolerance_n_per_cm: Tolerance


class TensionCheck(Shape):
    meter: Uuid | None = None
    face: Face
    near: Side
    stencil: choice("bare", "coated")
    spots: Annotated[list[Spot], AfterValidator(_every_spot_read)]


class BoltTurns(Shape):
    purpose: Purpose
    face: Face
    near: Side
    bolts: Annotated[list[Turned], AfterValidator(_some_bolt)]
    plan: Uuid | None = None


class Band(Shape):
    """A reading foretold, and where 9 of 10 should fall."""

    value: Foretold
    low: Foretold
    high: Foretold


class ForetoldSpot(Shape):
    u: Fraction
    v: Fraction
    along_a: Band | None = None
    across_a: Band | None = None


class Source(Shape):
    """The estimate that a plan started from: the log it covered, and its fingerprint."""

    seq: whole(0, 2**53 - 1, "Update the app: the estimate's place in the log is not known.")
    digest: text(64, "Update the app: the estimate's fingerprint is too long.", shortest=1)


class TurnPlan(Shape):
    """Advice as it was given, so that what came of it can be seen; it turns no bolt."""

    purpose: Purpose
    after: Uuid | None = None
    estimate: Source | None = None
    face: Face
    near: Side
    bolts: Annotated[list[Turned], AfterValidator(_some_bolt)]
    predicted: list[ForetoldSpot] = []
    predicted_marks: list[Mark] = []
    status: text(20, "Update the app: this answer is not known.", shortest=1)
    rounds_left: whole(0, 99, "Give the rounds left, from 0 to 99.") | None = None
    limits: list[text(300, "Shorten what limits the plan to 300 characters.")] = []
    override: text(500, "Give the reason in at most 500 characters.", shortest=1) | None = None


class RegisterTweak(Shape):
    face: Face
    near: Side
    bolts: list[Turned]
    seen: choice("long_short", "one_corner", "all_one_way", "skipped")
    cause: Cause | None = None
    marks: list[Mark]
    off_contact_mm: number(0, 100, "Give the off-contact in mm, from 0 to 100.") | None = None
    job: Uuid | None = None
    colour: Uuid | None = None
    press: Uuid | None = None
    station: Station | None = None
    plan: Uuid | None = None


class AfterMarks(Shape):
    tweak: Uuid
    marks: list[Mark]
    verdict: choice("in_register", "better", "no_change", "worse") | None = None


class CauseFound(Shape):
    tweak: Uuid
    cause: Cause


class NippedUp(Shape):
    bolts: list[Turned]


class BoltState(Shape):
    bolt: Bolt
    state: choice("seized", "broken", "freed")


class Noted(Shape):
    note: Note


class Exposed(Shape):
    job: Uuid
    colour: Uuid


class Inspected(Shape):
    passed: YesNo
    note: Note = ""


class Burst(Shape):
    where: choice("middle", "edge", "corner", "at_lock", "unknown")
    u: Fraction | None = None
    v: Fraction | None = None
    impressions: Impressions | None = None
    note: Note = ""


class Moved(Shape):
    to: choice("rack", "press", "repair", "lost", "scrapped")
    rack: Place | None = None
    press: Uuid | None = None
    station: Station | None = None


class Printed(Shape):
    mode: choice("counter", "added")
    count: Impressions
    job: Uuid | None = None
    colour: Uuid | None = None


def _some_colour(colours: list[str]) -> list[str]:
    if not colours:
        raise ValueError(say("Choose at least one colour that is on the OK sheet."))
    return colours


class OkSheet(Shape):
    """The reference print of a job, signed or sent back; the job is the entry's subject."""

    signed: YesNo
    colours: Annotated[list[Uuid], AfterValidator(_some_colour)]
    press: Uuid | None = None
    note: Note = ""


class StretchStep(Shape):
    """A step of fitting mesh that turns no bolt of a live screen: what was looked at and done."""

    step: choice("inspected", "lock", "piece", "pre_bow", "locked", "corners", "rested")
    face: Face
    near: Side
    passed: YesNo = True
    rock_mm: number(0, 50, "Give how far the frame rocks in mm, from 0 to 50.") | None = None
    mesh: Uuid | None = None
    rods: text(80, "Shorten the rods to 80 characters.") | None = None
    piece_a_mm: Piece | None = None
    piece_b_mm: Piece | None = None
    warp: choice("x", "y", "unknown") | None = None
    bolts: list[Turned] = []
    sides: list[Side] = []
    minutes: whole(0, 20160, "Give the rest in minutes, at most two weeks.") | None = None
    note: Note = ""


class StandOut(Shape):
    bolts: list[StoodOut]


class MeterZeroed(Shape):
    zero_n_per_cm: number(-50, 50, "Give what the meter showed on glass, within 50 N/cm of 0.")
    note: Note = ""


class Correction(Shape):
    corrects: Uuid
    frame: Uuid | None
    screen: Uuid | None
    occurred_at: Time
    payload: dict[str, Any]


class Void(Shape):
    voids: Uuid
    reason: Note
