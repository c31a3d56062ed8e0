"""What each kind of thing needs before it is saved, and what its fields must agree on."""

from collections.abc import Mapping
from datetime import date
from typing import Annotated, Any

from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, Field, ValidationError

from frames.errors import Problem, ThingError
from frames.fields import (
    Note,
    Tension,
    Tolerance,
    Uuid,
    YesNo,
    choice,
    number,
    problems,
    text,
    told,
    whole,
)
from frames.wording import say, written

SIDES = ("A", "B", "C", "D")
MOST_ADJUSTERS = 12
Name = text(80, "Give a name of 1 to 80 characters.", shortest=1)
Length = number(50, 6000, "Give the inside size in mm, from 50 to 6000, lock to lock.")
Percent = number(0, 100, "Give a percentage above 0, up to 100.", above=True)
Beside = number(-2, 3, "Give where it acts, from -200 to 300 % of the frame.")
Money = number(0, 1e6, "Give an amount of money, from 0 to 1 000 000.")
Minutes = number(0, 1440, "Give the minutes, from 0 to 1440.")
Pitch = number(0.2, 5, "Give how far one turn moves the bolt, from 0.2 to 5 mm.")
BoltPlaces = told(
    Annotated[list[Annotated[float, Field(gt=0, lt=6000)]], Field(min_length=1, max_length=99)],
    "Give at least one bolt place in mm from the side's first corner.",
)


def _a_step(step: int) -> int:
    if step not in (3, 6, 8):
        raise ValueError("no step of a head")
    return step


def _a_day(text: str) -> str:
    return date.fromisoformat(text).isoformat()


def _a_full_table(readings: list[list[list[float]]]) -> list[list[list[float]]]:
    sizes = {(len(person), len(values)) for person in readings for values in person}
    if len(sizes) != 1 or len(readings) not in (2, 3):
        raise ValueError(say("Give 2 or 3 people who read every place equally often."))
    return readings


def _as_date(value: Any) -> Any:
    return date.fromisoformat(value) if isinstance(value, str) else value


class Form(BaseModel):
    model_config = ConfigDict(strict=True, extra="forbid")

    def disagreements(self) -> list[Problem]:
        """Fields that fit one by one, but not together."""
        return []


class RodsFor(Form):
    """Which rods or strip a shop takes for which mesh."""

    material: choice("polyester", "stainless", "other")
    from_per_cm: number(1, 300, "Give the lowest count in threads per cm, from 1 to 300.")
    to_per_cm: number(1, 300, "Give the highest count in threads per cm, from 1 to 300.")
    rods: text(80, "Name the rods or the strip in 1 to 80 characters.", shortest=1)


StretchPage = choice(
    *("inspected", "lock", "piece", "pre_bow", "slack", "lock_A", "lock_B", "lock_C", "lock_D"),
    *("round_1", "round_2", "round_3", "round_4", "corners", "even", "rested"),
)


class Stretching(Form):
    """How a shop fits mesh: limits, waits, rods, and its own words for the phone's pages."""

    rock_limit_mm: number(0, 20, "Give how far a frame may rock in mm, from 0 to 20.") = 1
    bar_out_mm: number(0, 200, "Give the way to the outside of the bar in mm, up to 200.") = 30
    lock_mm: number(0, 100, "Give the mesh that goes into one lock in mm, up to 100.") = 20
    overhang_mm: number(0, 200, "Give the overhang in mm, from 0 to 200.") = 30
    pre_bow_mm: number(0, 30, "Give how far the ends stand further out in mm, up to 30.") = 8
    coarse_rounds: whole(0, 4, "Give the coarse rounds, from 0 to 4.") = 2
    rest_minutes: whole(0, 20160, "Give the rest in minutes, at most two weeks.") = 15
    rods: list[RodsFor] = []
    notes: dict[StretchPage, text(400, "Shorten the note to 400 characters.")] = {}


class Prices(Form):
    """What a mesh costs the shop, in its own currency; 0 where it did not say."""

    mesh: Money = 0
    fitting_minutes: Minutes = 45
    retension_minutes: Minutes = 15
    burst_minutes: Minutes = 60
    hour: Money = 0


class Shop(Form):
    name: Name
    prefix: told(
        Annotated[str, Field(pattern="^[A-Z]{1,3}$")],
        "Choose 1 to 3 capital letters to begin every frame code.",
    )
    length_unit: choice("mm", "in") = "mm"
    count_unit: choice("cm", "in") = "cm"
    tolerance_n_per_cm: Tolerance = 1.5
    spread_limit_n_per_cm: Tolerance = 3
    recent_days: whole(1, 365, "Give the days for which a check counts, from 1 to 365.") = 7
    round_limit_48ths: whole(1, 144, "Give the most a bolt turns per round: up to 3 turns.") = 96
    spots: choice("centre", "five", "nine") = "centre"
    reading_order: choice("both", "along_first") = "both"
    stencil_move_limit_mm: number(0, 10, "Give the limit in mm, from 0 to 10.") = 0.5
    stretching: Stretching = Stretching()
    look_ahead_days: whole(1, 90, "Give the days to look ahead, from 1 to 90.") = 7
    rest_limit_n_per_cm: number(0.1, 5, "Give the loss in a day in N/cm, from 0.1 to 5.") = 0.5
    set_spread_n_per_cm: Tolerance = 2
    prices: Prices = Prices()
    language: choice("en", "de") = "en"


class Frame(Form):
    number: whole(1, 999_999_999, "Give the frame a number from 1.") | None = None
    second_name: text(40, "Shorten the second name to 40 characters.") = ""
    profile: choice("plain_u", "ribbed_u", "boxed_u")
    inside_a_mm: Length
    inside_b_mm: Length
    bolts: dict[choice(*SIDES), BoltPlaces]
    pitch_mm: Pitch
    head: choice("hex", "socket")
    step_48ths: told(
        Annotated[int, AfterValidator(_a_step)],
        "Choose sixths (8), eighths (6) or sixteenths (3) of a turn.",
    )
    lock: choice("twin_rod", "wedge_strip")
    rods: text(80, "Shorten the rods to 80 characters.") = ""
    note: Note = ""

    def disagreements(self) -> list[Problem]:
        return [p for side in SIDES if (p := self._misplaced(side))]

    def _misplaced(self, side: str) -> Problem | None:
        places = self.bolts.get(side)
        length = self.inside_a_mm if side in "AC" else self.inside_b_mm
        field = f"bolts.{side}"
        if not places:
            return Problem(field, None, say("Give the bolt places of side {0}.", side))
        if places != sorted(set(places)):
            return Problem(field, places, say("Give the bolt places in rising order, each once."))
        if places[-1] >= length:
            return Problem(
                field,
                places[-1],
                say("Keep the bolts within the side's {0} mm.", written(length, "g")),
            )
        return None


class CardValue(Form):
    value: number(0, 1e6, "Give the value as it stands on the mesh card, above 0.", above=True)
    origin: choice("nominal", "calculated", "measured")


class Mesh(Form):
    name: Name
    material: choice("polyester", "stainless", "other")
    count_per_cm: number(1, 300, "Give the threads per cm, from 1 to 300.")
    count_per_inch: number(2, 800, "Give the threads per inch, from 2 to 800.")
    thread_um: number(5, 2000, "Give the thread's diameter in micrometres, from 5 to 2000.")
    card: dict[choice("opening_um", "open_area_pct", "thickness_um", "ink_cm3_m2"), CardValue] = {}
    tension_min_n_per_cm: Tension | None = None
    tension_max_n_per_cm: Tension | None = None
    cap_n_per_cm: Tension
    target_n_per_cm: Tension
    tolerance_n_per_cm: Tolerance
    note: Note = ""

    def disagreements(self) -> list[Problem]:
        low, high, cap = self.tension_min_n_per_cm, self.tension_max_n_per_cm, self.cap_n_per_cm
        found = []
        if self.target_n_per_cm > cap:
            remedy = say("Keep the target at or below the cap of {0} N/cm.", written(cap, "g"))
            found.append(Problem("target_n_per_cm", self.target_n_per_cm, remedy))
        if low and high and low > high:
            remedy = say("Give a largest tension of at least {0} N/cm.", written(low, "g"))
            found.append(Problem("tension_max_n_per_cm", high, remedy))
        if high and high > cap:
            remedy = say(
                "Raise the cap to at least {0} N/cm, or lower the range.", written(high, "g")
            )
            found.append(Problem("cap_n_per_cm", cap, remedy))
        return found


class Clamp(Form):
    side: choice("near", "right", "far", "left")
    from_mm: number(0, 6000, "Give where the clamp begins, in mm.") | None = None
    to_mm: number(0, 6000, "Give where the clamp ends, in mm.") | None = None


class Adjuster(Form):
    """What moves a screen on the press, as the printer stands in front of it.

    `right` and `away` are fractions of the frame, outside 0 to 1 where it acts beyond the frame;
    `smallest`, `backlash` and `most` are divisions. The names are those of the advice.
    """

    name: text(40, "Give the adjuster a name of 1 to 40 characters.", shortest=1)
    right: Beside
    away: Beside
    moves: choice("right", "away")
    mm_per_division: number(1e-4, 50, "Give its travel per division, from 0.0001 to 50 mm.")
    plus: text(30, "Say in 1 to 30 characters what plus is called.", shortest=1) = "plus"
    minus: text(30, "Say in 1 to 30 characters what minus is called.", shortest=1) = "minus"
    division: text(30, "Say in 1 to 30 characters what is counted.", shortest=1) = "divisions"
    smallest: number(1e-3, 10, "Give the smallest part one can set, from 0.001 to 10.") = 0.5
    backlash: number(0, 1000, "Give the play in divisions, from 0 to 1000.") = 0.0
    order: whole(0, 99, "Give its turn in the order, from 0 to 99.") = 0
    most: number(0, 1e6, "Give how far it goes either way, in divisions.", above=True) = 1000.0


class Press(Form):
    name: Name
    stations: whole(1, 99, "Give the number of stations, from 1 to 99.")
    clamps: list[Clamp] = []
    adjusters: list[Adjuster] = []

    def disagreements(self) -> list[Problem]:
        return [*self._clamps_turned_round(), *self._named_twice()]

    def _named_twice(self) -> list[Problem]:
        names = [adjuster.name.casefold() for adjuster in self.adjusters]
        if len(names) > MOST_ADJUSTERS:
            remedy = say("Keep to {0} adjusters for one press.", MOST_ADJUSTERS)
            return [Problem("adjusters", len(names), remedy)]
        return [
            Problem(
                f"adjusters.{place}.name",
                self.adjusters[place].name,
                say("Give every adjuster its own name: this press has this one."),
            )
            for place, name in enumerate(names)
            if name in names[:place]
        ]

    def _clamps_turned_round(self) -> list[Problem]:
        return [
            Problem(
                f"clamps.{place}.to_mm", clamp.to_mm, say("End the clamp after where it begins.")
            )
            for place, clamp in enumerate(self.clamps)
            if (clamp.from_mm is None) != (clamp.to_mm is None)
            or (clamp.to_mm is not None and clamp.to_mm <= clamp.from_mm)
        ]


class Study(Form):
    """The same places read by several people several times over: people x places x trials."""

    on: told(Annotated[str, AfterValidator(_a_day)], "Give the day as year-month-day.")
    readings: Annotated[list[list[list[Tension]]], AfterValidator(_a_full_table)]


class Meter(Form):
    name: Name
    resolution_n_per_cm: number(0, 5, "Give the meter's smallest step, up to 5 N/cm.", above=True)
    studies: list[Study] = []
    note: Note = ""


class Operator(Form):
    name: Name
    may_turn_with_stencil: YesNo = False
    note: Note = ""


class Job(Form):
    number: text(20, "Give the job a number of 1 to 20 characters.", shortest=1)
    title: text(120, "Give the job a title of 1 to 120 characters.", shortest=1)
    customer_ref: text(80, "Shorten the customer's reference to 80 characters.") = ""
    due: (
        told(Annotated[date, BeforeValidator(_as_date)], "Give the date as year-month-day.") | None
    ) = None
    run: whole(1, 100_000_000, "Give the number of sheets, from 1.") | None = None
    substrate: text(120, "Shorten the substrate to 120 characters.") = ""
    tolerance_mm: number(0, 10, "Give the register tolerance, up to 10 mm.", above=True)
    inside_a_mm: Length | None = None
    inside_b_mm: Length | None = None
    keep_stencils: YesNo = False
    done: YesNo = False
    note: Note = ""

    def disagreements(self) -> list[Problem]:
        if (self.inside_a_mm is None) == (self.inside_b_mm is None):
            return []
        missing = "inside_a_mm" if self.inside_a_mm is None else "inside_b_mm"
        return [Problem(missing, None, say("Give both sides of the frames wanted, or neither."))]


class Colour(Form):
    job: Uuid
    position: whole(1, 99, "Give the colour's place in printing order, from 1.")
    name: Name
    ink: text(120, "Shorten the ink to 120 characters.") = ""
    mesh: Uuid | None = None
    key: YesNo = False
    repeats: Uuid | None = None


FORMS: dict[str, type[Form]] = {
    "shop": Shop,
    "frame": Frame,
    "mesh": Mesh,
    "press": Press,
    "meter": Meter,
    "operator": Operator,
    "job": Job,
    "colour": Colour,
}


def read(kind: str, values: Mapping[str, Any]) -> Form:
    """The values of a thing, checked; ThingError names field, value and remedy of every fault."""
    try:
        form = FORMS[kind].model_validate(dict(values))
    except ValidationError as error:
        raise ThingError(problems(error)) from None
    if found := form.disagreements():
        raise ThingError(found)
    return form
