"""Which column of a file is which, and in which unit; pure."""

import re
from dataclasses import dataclass
from difflib import get_close_matches

from frames.errors import BadInput, Problem
from frames.wording import mark, say
from shopfloor.exchange.cells import plain
from shopfloor.exchange.columns import MENDS, Column, ListKind

BRACKETED = re.compile(r"(.+)[\[(]([^\[\]()]+)[\])]")
LONGEST = 80  # no column has a longer name; each step over a heading is then a short one
MOST_COLUMNS = 200


class HeadingProblem(BadInput):
    """A heading that leaves open what the rows mean; nothing was taken."""

    title = mark("The heading has to be mended first")


@dataclass(frozen=True)
class Place:
    """A column of the file that is understood: where it stands, and its factor to our unit."""

    at: int
    column: Column
    typed: str
    factor: float


@dataclass(frozen=True)
class Headings:
    """The understood columns by key, and the headings that are left out, each with a hint."""

    places: dict[str, Place]
    left_out: tuple[tuple[str, str], ...]
    width: int


def understood(kind: ListKind, heading: tuple[str, ...]) -> Headings:
    """HeadingProblem lists every column that is missing, doubled or without a clear unit."""
    _refuse_wide(heading)
    found, left_out, problems = {}, [], []
    for at, typed in enumerate(heading):
        column, unit = _column_of(kind, typed)
        if column is None:
            if typed.strip() and plain(typed) != MENDS:
                left_out.append((typed, _hint(kind, typed)))
            continue
        if column.key in found:
            remedy = say("Keep one of them: “{0}” is the same column.", found[column.key].typed)
            problems.append(Problem("heading", typed, remedy))
            continue
        factor = _factor(column, unit, typed, problems)
        found[column.key] = Place(at, column, typed, factor)
    problems += _missing(kind, set(found), [typed for typed, _ in left_out])
    if problems:
        raise HeadingProblem(problems)
    return Headings(found, tuple(left_out), len(heading))


def _refuse_wide(heading: tuple[str, ...]) -> None:
    if len(heading) > MOST_COLUMNS:
        said = say("{0} columns", len(heading))
        remedy = say("Leave columns out: a list may have up to {0}.", MOST_COLUMNS)
        raise HeadingProblem([Problem("heading", said, remedy)])


def _column_of(kind: ListKind, typed: str) -> tuple[Column | None, str]:
    """The column that a heading names, and the unit it says."""
    typed = " ".join(typed.split())
    if len(typed) > LONGEST:
        return None, ""
    names = {plain(name): one for one in kind.columns for name in (one.name, *one.also)}
    if plain(typed) in names:
        return names[plain(typed)], ""
    match = BRACKETED.fullmatch(typed)
    name, unit = (match[1], match[2]) if match else _last_word(typed)
    column = names.get(plain(name))
    return (column, unit.casefold().replace(" ", "")) if column else (None, "")


def _last_word(typed: str) -> tuple[str, str]:
    """`inside A, mm` and `inside_a_mm`: the unit is the last word, if it is one at all."""
    parts = re.split(r"[\s,_]+", typed.strip())
    return (" ".join(parts[:-1]), parts[-1]) if len(parts) > 1 else (typed, "")


def _factor(column: Column, unit: str, typed: str, problems: list[Problem]) -> float:
    if not column.units:
        return 1.0
    if unit in column.units:
        return column.units[unit]
    if unit or column.must_say_unit:
        usual = [f"“{column.name} [{one}]”" for one in _usual(column)]
        said = (
            say("Say the unit in the heading") if not unit else say("Use a unit that is known here")
        )
        either = f" {say('or')} ".join(usual)
        problems.append(Problem("heading", typed, f"{said}: {either}."))
    return 1.0


def _usual(column: Column) -> list[str]:
    return ["mm", "in"] if "in" in column.units else [column.unit] if column.unit else []


def _missing(kind: ListKind, found: set[str], left_out: list[str]) -> list[Problem]:
    needed = [column for column in kind.columns if column.needed and column.key not in found]
    return [Problem("heading", None, _add(one, left_out)) for one in needed]


def _add(column: Column, left_out: list[str]) -> str:
    """The remedy for a missing column, with a heading that nearly names it."""
    near = get_close_matches(plain(column.name), map(plain, left_out), 1, 0.75)
    if near:
        return say("Add the column “{0}”, or rename “{1}” if that is it.", column.heading, near[0])
    return say("Add the column “{0}”.", column.heading)


def _hint(kind: ListKind, typed: str) -> str:
    names = {plain(one.name): one.heading for one in kind.columns}
    near = get_close_matches(plain(typed), names, 1, 0.75)
    return names[near[0]] if near else ""
