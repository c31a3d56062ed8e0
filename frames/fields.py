"""Field types that say, in the shop's words, what to do when a value does not fit."""

from collections.abc import Callable
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, Field, ValidationError, WrapValidator
from pydantic_core import PydanticCustomError

from frames.errors import Problem
from frames.times import milliseconds
from frames.wording import say

UUID_SHAPE = r"^[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}$"


def told(kind: Any, remedy: str, *values: str) -> Any:
    """The same type, whose every misfit is answered by one sentence, with its values."""

    def check(value: Any, inner: Callable[[Any], Any]) -> Any:
        try:
            return inner(value)
        except ValidationError:
            raise PydanticCustomError("told", say(remedy, *values)) from None  # type: ignore[arg-type]

    return Annotated[kind, WrapValidator(check)]


def number(low: float, high: float, remedy: str, *, above: bool = False) -> Any:
    """A number from `low` to `high`; `above` leaves `low` itself out."""
    bounds = {"gt" if above else "ge": low, "le": high}
    return told(Annotated[float, Field(allow_inf_nan=False, **bounds)], remedy)


def whole(low: int, high: int, remedy: str) -> Any:
    return told(Annotated[int, Field(ge=low, le=high)], remedy)


def text(longest: int, remedy: str, *, shortest: int = 0) -> Any:
    # PostgreSQL stores no NUL, so no text may hold one
    shape = Field(min_length=shortest, max_length=longest, pattern=r"^[^\x00]*$")
    return told(Annotated[str, shape], remedy)


def choice(*words: str) -> Any:
    return told(Literal[words], "Choose one of: {0}.", ", ".join(words))


def problems(error: ValidationError) -> list[Problem]:
    """Field, value and remedy of everything that did not fit."""
    return [
        Problem(
            ".".join(str(step) for step in found["loc"] if step != "[key]") or "entry",
            None if found["type"] == "missing" else found["input"],
            _remedy(found),
        )
        for found in error.errors(include_url=False)
    ]


def _remedy(found: Any) -> str:
    if found["type"] in ("told", "value_error"):
        return found["msg"].removeprefix("Value error, ")
    if found["type"] == "missing":
        return say("Fill this in: it is missing.")
    if found["type"] == "extra_forbidden":
        return say("Leave this out: there is no such field.")
    return say("Enter it again: this is not the kind of value that belongs here.")


Uuid = told(
    Annotated[str, Field(pattern=UUID_SHAPE)],
    "Choose it from the list or scan it again: this is not an id.",
)
Tension = number(0, 150, "Give a tension above 0, up to 150 N/cm.", above=True)
Tolerance = number(0, 50, "Give a tolerance above 0, up to 50 N/cm.", above=True)
Fraction = number(0, 1, "Give a place between 0 and 1 of the inside size.")
Bolt = told(
    Annotated[str, Field(pattern=r"^[ABCD][1-9][0-9]?$")],
    "Name the bolt by side and number, for example A1.",
)
Note = text(2000, "Write the note in at most 2000 ordinary characters.")
YesNo = told(bool, "Answer yes or no.")


def _is_time(value: str) -> str:
    milliseconds(value)
    return value


Time = told(
    Annotated[str, AfterValidator(_is_time)],
    "Give date and time with zone, for example 2026-11-25T10:42:07.123+01:00.",
)
