"""Tables that sort and page by their address alone."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from django.core.paginator import Page, Paginator
from django.http import QueryDict

PER_PAGE = 50
LONGEST_SEARCH = 80  # as the longest name; databases refuse patterns of many thousand letters


@dataclass(frozen=True)
class Column:
    """One column of a table. `by` gives what a row sorts by; None sorts last either way."""

    key: str
    label: str
    by: Callable[[Any], Any] | None = None
    number: bool = False


@dataclass(frozen=True)
class Head:
    label: str
    number: bool
    direction: str
    following: str


@dataclass(frozen=True)
class Listing:
    page: Page
    heads: list[Head]


def listing(
    rows: Sequence[Any], columns: tuple[Column, ...], query: QueryDict, per_page: int = PER_PAGE
) -> Listing:
    """Sort `rows` by the address's `sort` (a column's key, `-` turns it round), cut one page.

    An unknown sort or page never fails: the rows keep their order, the nearest page is shown.
    """
    asked = query.get("sort", "")
    column = next((c for c in columns if c.by and c.key == asked.removeprefix("-")), None)
    if column:
        rows = in_order(rows, column.by, asked.startswith("-"))
    page = Paginator(rows, per_page).get_page(query.get("page"))
    return Listing(page, [head(one, asked) for one in columns])


def searched(query: QueryDict, key: str = "search") -> str:
    """What the address looks for, without the NUL that PostgreSQL takes in no text."""
    return query.get(key, "").replace("\0", "")[:LONGEST_SEARCH]


def in_order(rows: Sequence[Any], by: Callable[[Any], Any], backwards: bool) -> list[Any]:
    keyed = [(by(row), row) for row in rows]
    known = [pair for pair in keyed if pair[0] not in (None, "")]
    known.sort(key=lambda pair: pair[0], reverse=backwards)
    return [row for _, row in known] + [row for key, row in keyed if key in (None, "")]


def head(column: Column, asked: str) -> Head:
    """A column's heading: how it is sorted now, and what a press on it asks for."""
    if column.by is None:
        return Head(column.label, column.number, "", "")
    if asked == column.key:
        return Head(column.label, column.number, "ascending", f"-{column.key}")
    if asked == f"-{column.key}":
        return Head(column.label, column.number, "descending", column.key)
    return Head(column.label, column.number, "", column.key)
