"""Bad input, told so that a printer can put it right."""

from __future__ import annotations

import math
from collections.abc import Iterable

from frames.wording import mark, say, written

# Times of the log lie within 1970 to 2200, and a clock may be a century off: no time between two of
# them is beyond it.
LONGEST_H = 1e7
CONTRADICT = mark(
    "The entries of this screen contradict each other: put right or undo the wrong ones."
)


class InputFault(ValueError):
    """An input that cannot be used: which field, what it held, what to do.

    Parameters
    ----------
    field : name of the field, with its unit, e.g. ``"pitch_mm"``
    value : what was given
    remedy : one sentence saying what would be accepted

    >>> raise InputFault("pitch_mm", -1, "Enter the travel of one turn.")
    Traceback (most recent call last):
    frames.mechanics.faults.InputFault: pitch_mm is -1. Enter the travel of one turn.
    """

    def __init__(self, field: str, value: object, remedy: str) -> None:
        super().__init__(field, value, remedy)
        self.field = field
        self.value = value
        self.remedy = remedy

    def __str__(self) -> str:
        return say("{0} is {1}. {2}", self.field, self.value, self.remedy)


def number(field: str, value: object, low: float, high: float, what: str) -> float:
    """``value`` as a float between ``low`` and ``high``, both allowed; else an `InputFault`.

    >>> number("u", 0.5, 0, 1, "Enter a fraction")
    0.5
    """
    if isinstance(value, bool) or not isinstance(value, int | float):
        try:
            value = float(value)  # numpy scalars
        except (TypeError, ValueError):
            raise InputFault(field, value, _range(what, low, high)) from None
    if not (math.isfinite(value) and low <= value <= high):
        raise InputFault(field, value, _range(what, low, high))
    return float(value)


def _range(what: str, low: float, high: float) -> str:
    numbers = written(low, "g"), written(high, "g")
    return say("{0}: a number from {1} to {2}.", say(what), *numbers)


def one_of(field: str, value: object, choices: Iterable[object], what: str) -> object:
    """``value`` if it is one of ``choices``; else an `InputFault`."""
    allowed = list(choices)
    if value not in allowed:
        raise InputFault(
            field, value, say("{0}: one of {1}.", say(what), ", ".join(map(str, allowed)))
        )
    return value
