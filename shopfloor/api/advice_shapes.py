"""Requests and answers of advice, as they go over the wire. `frames.advice` says what they mean."""

from typing import Annotated, Any, Literal

from ninja import Field, Schema
from pydantic import model_validator

from frames.entries import KINDS, parse_payload
from frames.errors import Unreadable
from frames.fields import Bolt, Fraction, Tension, Time, Tolerance, Uuid, number, whole

Side = Literal["A", "B", "C", "D"]
Turn = whole(-480, 480, "Give a turn in 48ths, at most ten turns (480) either way.")
Total = whole(-100_000, 100_000, "Give the sum of turns in 48ths.")
Length = number(150, 6000, "Give the inside size in mm, from 150 to 6000, lock to lock.")
Number = number(-1e9, 1e9, "Give a number.")
Places = Annotated[list[number(0, 6000, "Give bolt places in mm.")], Field(max_length=60)]
Travel = number(-20, 20, "Give how far it printed off, at most 20 mm either way.")
Bolts = Annotated[list[Bolt], Field(max_length=240)]


class FrameIn(Schema):
    """A frame's body; keys not named here are left aside, as in all bodies below."""

    profile: Literal["plain_u", "ribbed_u", "boxed_u"]
    inside_a_mm: Length
    inside_b_mm: Length
    bolts: dict[Side, Places] = Field(description="mm from each side's first corner, rising")
    pitch_mm: number(0.2, 5, "Give how far one turn moves the bolt, from 0.2 to 5 mm.")
    step_48ths: Literal[3, 6, 8]


class MeshIn(Schema):
    material: Literal["polyester", "stainless", "other"]
    count_per_cm: number(4, 260, "Give the threads per cm, from 4 to 260.")
    thread_um: number(10, 600, "Give the thread's diameter in micrometres, from 10 to 600.")
    cap_n_per_cm: Tension | None = None


class ShopIn(Schema):
    round_limit_48ths: whole(1, 144, "Give the most a bolt turns per round: up to 3 turns.") = 96
    stencil_move_limit_mm: number(0, 10, "Give the limit in mm, from 0 to 10.") = 0.5


class ClampIn(Schema):
    side: Literal["near", "right", "far", "left"]
    from_mm: Number | None = None
    to_mm: Number | None = None


class AdjusterIn(Schema):
    name: Annotated[str, Field(min_length=1, max_length=80)]
    right: number(-2, 3, "Give where it acts, as a fraction to the right.")
    away: number(-2, 3, "Give where it acts, as a fraction away from you.")
    moves: Literal["right", "away"]
    mm_per_division: number(1e-4, 50, "Give its travel per division in mm.")
    plus: Annotated[str, Field(max_length=40)] = "plus"
    minus: Annotated[str, Field(max_length=40)] = "minus"
    division: Annotated[str, Field(max_length=40)] = "divisions"
    smallest: number(1e-3, 10, "Give the smallest part of a division one can set.") = 0.5
    backlash: number(0, 1000, "Give the backlash in divisions.") = 0.0
    order: whole(0, 99, "Give its place in the order, from 0.") = 0
    most: number(0, 1e6, "Give the most divisions it can be moved.") = 1000.0


class PressIn(Schema):
    clamps: Annotated[list[ClampIn], Field(max_length=60)] = []
    adjusters: Annotated[list[AdjusterIn], Field(max_length=12)] = []


class SpotIn(Schema):
    u: Fraction
    v: Fraction
    along_a_n_per_cm: Tension | None = None
    across_a_n_per_cm: Tension | None = None

    @model_validator(mode="after")
    def _read_at_all(self) -> "SpotIn":
        if self.along_a_n_per_cm is None and self.across_a_n_per_cm is None:
            raise ValueError("Give at least one reading at every spot, or leave the spot out")
        return self


Spots = Annotated[list[SpotIn], Field(max_length=81)]


class CheckIn(Schema):
    id: Uuid
    at: Time
    spots: Spots


class ChecksIn(Schema):
    bare: CheckIn | None = None
    coated: CheckIn | None = None


class ScreenIn(Schema):
    """A screen's state, as it stands in the feed."""

    screen: Uuid
    fitted_at: Time
    stencil: Literal["bare", "coated", "exposed", "inspected"]
    target_n_per_cm: Tension
    tolerance_n_per_cm: Tolerance
    turns: dict[Bolt, Total]
    register_turns: dict[Bolt, Total]
    checks: ChecksIn
    last_check: CheckIn | None = None


class FrameStateIn(Schema):
    bolts: dict[Bolt, Literal["seized", "broken"]] = {}


class FactorIn(Schema):
    mean: number(-5, 5, "Give a factor near 1.")
    sd: number(0, 1, "Give how far the factor may be off.")
    count: whole(0, 2**31, "Give how many changes it was learned from.")


class FactorsIn(Schema):
    x: FactorIn
    y: FactorIn
    register_: FactorIn = Field(alias="register")


class LearnedIn(Schema):
    bare: FactorsIn
    coated: FactorsIn


class EstimateIn(Schema):
    """The body of the feed's kind `estimate`, as it came."""

    seq: whole(0, 2**53 - 1, "Send the estimate as it came.")
    digest: Annotated[str, Field(min_length=1, max_length=64)]
    after: Uuid | None
    at: Time | None
    mean: Annotated[list[Number], Field(max_length=400)] | None
    sd: Annotated[list[Number], Field(max_length=400)] | None
    root: Annotated[list[int], Field(max_length=80_200)] | None
    bar_mm: Annotated[list[Number], Field(max_length=240)] | None
    draw_mm: Annotated[list[Number], Field(max_length=240)] | None
    turned_at: Time | None
    rounds: int | None
    caution: Annotated[float, Field(ge=0.25, le=1)] | None
    surprise: str | None
    zero_mm: Number | None
    trusted: bool
    why: str | None
    factors: LearnedIn


class EntryIn(Schema):
    """An entry of this screen as it stands after corrections, in fold order."""

    id: Uuid
    kind: Annotated[str, Field(max_length=40)]
    payload: dict[str, Any]
    occurred_at: Time
    clock_offset_ms: whole(-(2**53), 2**53, "Send the entry as it came.") = 0

    @model_validator(mode="after")
    def _fits(self) -> "EntryIn":
        if self.kind in KINDS:
            try:
                parse_payload(self.kind, self.payload)
            except Unreadable as error:
                raise ValueError(" ".join(p.remedy for p in error.problems)) from error
        return self


class OptionsIn(Schema):
    purpose: Literal["stretch", "retension", "register", "even_up"] = "retension"
    face: Literal["squeegee", "print"] = "squeegee"
    near: Side = "A"
    hidden: Bolts | None = Field(None, description="Out of reach; null: by the press's clamps")
    override: Annotated[str, Field(min_length=1, max_length=500)] | None = Field(
        None, description="Reason for a tension plan with a stencil on"
    )
    step_48ths: Literal[3, 6, 8] | None = None
    round_limit_48ths: whole(1, 144, "Give the most a bolt turns: up to 3 turns.") | None = None
    target_n_per_cm: Tension | None = None
    tolerance_n_per_cm: Tolerance | None = None
    first_round: bool | None = None
    where: Literal["bench", "press"] | None = None


class AdviceIn(Schema):
    frame: FrameIn
    mesh: MeshIn
    screen: ScreenIn
    shop: ShopIn | None = None
    press: PressIn | None = None
    frame_state: FrameStateIn | None = None
    estimate: EstimateIn | None = None
    since: Annotated[list[EntryIn], Field(max_length=500)] | None = Field(
        None, description="Entries after the check that the estimate ends with; null: not at hand"
    )
    readings: Spots | None = Field(None, description="Spots read and not saved yet")
    options: OptionsIn = OptionsIn()


class MarkIn(Schema):
    u: Fraction
    v: Fraction
    dx_mm: Travel
    dy_mm: Travel


Marks = Annotated[list[MarkIn], Field(max_length=25)]


class RegisterIn(AdviceIn):
    pulls: Annotated[list[Marks], Field(min_length=1, max_length=5)] = Field(
        description="Marks of each pull, at the same places in the same order"
    )
    key_marks: Marks = Field([], description="The key colour's own, against film or OK sheet")
    tolerance_mm: number(0.005, 10, "Give the register tolerance in mm.") | None = None
    eye: Literal["loupe", "naked"] = "loupe"
    bolts_wanted: whole(1, 240, "Give how many bolts may move.") | None = None


class TurnedIn(Schema):
    bolt: Bolt
    turn_48ths: Turn


class WhatIfIn(AdviceIn):
    turns: Annotated[list[TurnedIn], Field(max_length=240)]
    model: Literal["strip", "membrane"] = "strip"
