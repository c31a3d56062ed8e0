"""What to do about a field that does not fit, said in place of the validator's own words."""

from typing import Any

from ninja.schema import DjangoGetter

from frames.errors import Problem

ID = "Send an id as the server or the phone made it."
OBJECT = "Send an object with named fields."

REMEDIES = {
    "missing": "This is missing: send it.",
    "told": "{}",
    "value_error": "{error}.",
    "literal_error": "Choose one of: {expected}.",
    "float_type": "Send a number.",
    "float_parsing": "Send a number.",
    "bool_type": "Send true or false.",
    "uuid_parsing": ID,
    "uuid_type": ID,
    "int_parsing": "Send a whole number.",
    "int_type": "Send a whole number.",
    "int_from_float": "Send a whole number.",
    "list_type": "Send a list.",
    "dict_type": OBJECT,
    "model_attributes_type": OBJECT,
    "string_type": "Send text.",
    "string_too_short": "Fill this in.",
    "string_too_long": "Send at most {max_length} characters.",
    "too_long": "Send at most {max_length} of them.",
    "greater_than_equal": "Send a number of at least {ge}.",
    "less_than_equal": "Send a number of at most {le}.",
    "less_than": "Send a number below {lt}.",
}


def to_problem(found: Any) -> Problem:
    """One finding of pydantic as field, value and remedy."""
    # the first steps name the argument of our own function, which says nothing to a caller
    steps = [str(step) for step in found["loc"] if step not in {"body", "place"}]
    value = None if found["type"] == "missing" else _as_sent(found["input"])
    remedy = REMEDIES.get(found["type"], "{}.").format(found["msg"], **found.get("ctx", {}))
    return Problem(".".join(steps) or "body", value, remedy)


def _as_sent(value: Any) -> Any:
    """Without the wrapper in which the library hands whole objects to their validators."""
    return value._obj if isinstance(value, DjangoGetter) else value
