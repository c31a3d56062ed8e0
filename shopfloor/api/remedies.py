"""What to do about a field that does not fit, said in place of the validator's own words."""

from typing import Any

from ninja.schema import DjangoGetter

from frames.errors import Problem
from frames.wording import mark, say

ID = mark("Send an id as the server or the phone made it.")
OBJECT = mark("Send an object with named fields.")

REMEDIES = {
    "missing": mark("This is missing: send it."),
    "told": "{}",
    "value_error": "{error}.",
    "literal_error": mark("Choose one of: {expected}."),
    "float_type": mark("Send a number."),
    "float_parsing": mark("Send a number."),
    "bool_type": mark("Send true or false."),
    "uuid_parsing": ID,
    "uuid_type": ID,
    "int_parsing": mark("Send a whole number."),
    "int_type": mark("Send a whole number."),
    "int_from_float": mark("Send a whole number."),
    "list_type": mark("Send a list."),
    "dict_type": OBJECT,
    "model_attributes_type": OBJECT,
    "string_type": mark("Send text."),
    "string_too_short": mark("Fill this in."),
    "string_too_long": mark("Send at most {max_length} characters."),
    "too_long": mark("Send at most {max_length} of them."),
    "greater_than_equal": mark("Send a number of at least {ge}."),
    "less_than_equal": mark("Send a number of at most {le}."),
    "less_than": mark("Send a number below {lt}."),
}


def to_problem(found: Any) -> Problem:
    """One finding of pydantic as field, value and remedy."""
    # the first steps name the argument of our own function, which says nothing to a caller
    steps = [str(step) for step in found["loc"] if step not in {"body", "place"}]
    value = None if found["type"] == "missing" else _as_sent(found["input"])
    remedy = say(REMEDIES.get(found["type"], "{}.")).format(found["msg"], **found.get("ctx", {}))
    return Problem(".".join(steps) or "body", value, remedy)


def _as_sent(value: Any) -> Any:
    """Without the wrapper in which the library hands whole objects to their validators."""
    return value._obj if isinstance(value, DjangoGetter) else value
