"""One row of a file becomes values by column, with a fault for each cell that cannot be; pure."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from difflib import get_close_matches
from typing import Any

from frames import forms
from frames.errors import ThingError
from frames.wording import say
from shopfloor.exchange.cells import READERS, CellProblem, plain
from shopfloor.exchange.columns import Column, ListKind
from shopfloor.exchange.headings import Headings
from shopfloor.exchange.proposals import Body, Difference, Fault
from shopfloor.exchange.splitting import Row
from shopfloor.exchange.writing import cell, flat, same

KEYED = {"bolts": "bolts", "card": "card", "origin": "card"}


@dataclass
class Read:
    """A row's values by column key; empty cells are absent and so change nothing."""

    row: Row
    headings: Headings
    values: dict[str, Any] = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)

    def fault(self, key: str, remedy: str) -> None:
        """Something is wrong with the cell of this column."""
        place = self.headings.places.get(key)
        typed = self.typed(key)
        self.faults.append(Fault(self.row.number, place.typed if place else key, typed, remedy))

    def typed(self, key: str) -> str:
        place = self.headings.places.get(key)
        cells = self.row.cells
        return cells[place.at].strip() if place and place.at < len(cells) else ""


def read(row: Row, headings: Headings) -> Read:
    out = Read(row, headings)
    spare = [text for text in row.cells[headings.width :] if text.strip()]
    if spare:
        remedy = say("Put text that has the mark between cells in quotation marks.")
        said = say("{0} cells under {1} headings", len(row.cells), headings.width)
        out.faults.append(Fault(row.number, "row", said, remedy))
    for key, place in headings.places.items():
        if typed := out.typed(key):
            try:
                out.values[key] = _value(place.column, typed, place.factor)
            except CellProblem as problem:
                out.fault(key, str(problem))
    return out


def _value(column: Column, typed: str, factor: float) -> Any:
    return _choice(column, typed) if column.words else READERS[column.kind](typed, factor)


def _choice(column: Column, typed: str) -> Any:
    said = plain(typed)
    for value, names in column.words.items():
        if said in map(plain, names):
            return value
    known = [names[0] for names in column.words.values()]
    near = get_close_matches(said, known, 1, 0.7)
    meant = say("Did you mean {0}?", near[0]) if near else ""
    raise CellProblem(f"{meant} {say('Write one of: {0}.', ', '.join(known))}".strip())


def differences(kind: ListKind, out: Read, stands: Body) -> list[Difference]:
    """What the row would change of a thing that is in the book."""
    now = flat(kind, stands)
    found = []
    for key, value in out.values.items():
        column = kind.column(key)
        if column and key in now and not same(value, now[key]):
            found.append(Difference(column.name, cell(column, now[key]), cell(column, value)))
    return found


def nested(values: Iterable[tuple[str, Any]], stands: Body | None = None) -> Body:
    """Values by column key put together as the door of things wants them."""
    told: Body = {}
    for key, value in values:
        first, _, part = key.partition(".")
        if not part:
            told[first] = value
            continue
        field_name = KEYED[first]
        whole = told.setdefault(field_name, dict((stands or {}).get(field_name, {})))
        if first == "bolts":
            whole[part] = value
        else:
            about = dict(whole.get(part, {"origin": "nominal"}))
            whole[part] = about | {"value" if first == "card" else "origin": value}
    return told


def check(kind: str, out: Read, values: Body) -> None:
    """Faults for all that the form of this kind of thing has to say."""
    try:
        forms.read(kind, values)
    except ThingError as error:
        faulty = {fault.heading for fault in out.faults}
        for problem in error.problems:
            key = column_of(problem.field, out.headings)
            place = out.headings.places.get(key)
            if place is None or place.typed not in faulty:
                out.fault(key, problem.remedy)


def column_of(name: str, headings: Headings) -> str:
    """The column key for a form's field such as `bolts.A.0` or `card.opening_um.origin`."""
    if name.startswith("card.") and name.endswith(".origin"):
        return f"origin.{name.split('.')[1]}"
    while name and name not in headings.places and "." in name:
        name = name.rpartition(".")[0]
    return name
