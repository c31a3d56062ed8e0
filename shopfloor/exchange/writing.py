"""What stands in a cell for a value of a thing: the other direction of cells; pure."""

from collections.abc import Mapping
from math import isclose
from typing import Any

from shopfloor.exchange.columns import Column, ListKind

LEAST_MM = 5e-4  # lengths typed in inches are rounded to a thousandth of a millimetre


def flat(kind: ListKind, body: Mapping[str, Any]) -> dict[str, Any]:
    """The values of a thing's body by the keys of its columns."""
    return {column.key: _at(body, column.key) for column in kind.columns}


def _at(body: Mapping[str, Any], key: str) -> Any:
    first, _, part = key.partition(".")
    if first in ("card", "origin"):
        return body["card"].get(part, {}).get("value" if first == "card" else "origin")
    return body.get(first, {}).get(part) if part else body.get(first)


def cell(column: Column, value: Any) -> str:
    """A value as it may be typed into a file again."""
    if value is None or value == "":
        return ""
    if column.words:
        return column.words[value][0] if value in column.words else str(value)
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        return " ".join(plain_number(one) for one in value)
    return plain_number(value) if isinstance(value, float) else str(value)


def plain_number(value: float) -> str:
    """All of its digits and no more: 22, 21.5, 1.4111; never in powers of ten."""
    text = repr(float(value))
    if "e" in text:
        text = f"{value:.15f}".rstrip("0")
    return text.removesuffix(".0").rstrip(".")


def same(a: Any, b: Any) -> bool:
    """Whether two values of a column are the same to the shop."""
    if isinstance(a, int | float) and isinstance(b, int | float):
        return isclose(a, b, abs_tol=LEAST_MM)
    if isinstance(a, list) and isinstance(b, list):
        return len(a) == len(b) and all(map(same, a, b))
    return (a or None) == (b or None) if isinstance(a, str) or isinstance(b, str) else a == b
