"""Rows of jobs: one for each colour; a job is taken whole or not at all; pure."""

from difflib import get_close_matches
from typing import Any

from frames.wording import say
from shopfloor.exchange.cells import plain
from shopfloor.exchange.columns import JOBS, ListKind
from shopfloor.exchange.proposals import Body, Book, Difference, Part, Proposal
from shopfloor.exchange.retiring import editable, settle_retired
from shopfloor.exchange.rows import Read, check, differences, nested
from shopfloor.exchange.writing import cell, same

NOWHERE = "00000000-0000-0000-0000-000000000000"  # a new job has no id yet
OF_COLOUR = "colour."
OF_JOB = ListKind(
    "job", "jobs", "number", tuple(c for c in JOBS.columns if not c.key.startswith(OF_COLOUR))
)


def job_proposals(rows: list[Read], book: Book) -> list[Proposal]:
    """One proposal for each job number, in the order of their first rows."""
    together: dict[str, list[Read]] = {}
    for out in rows:
        number = out.values.get("number", "")
        if not number:
            out.fault("number", say("Give the job's number in every row of it."))
        together.setdefault(number or f"row {out.row.number}", []).append(out)
    return [_job(name, its, book) for name, its in together.items()]


def _job(name: str, rows: list[Read], book: Book) -> Proposal:
    stands, first = book.jobs.get(name), rows[0]
    colours = [_colour_values(out, book) for out in rows]
    for out in rows[1:]:
        _agree(first, out)
    one = Proposal(name, [out.row.number for out in rows], [out.row.cells for out in rows])
    settle_retired(OF_JOB, first, stands)
    if stands is None:
        one.values = nested(first.values.items())
        check("job", first, one.values)
    else:
        one.thing, one.version = str(stands["id"]), stands["version"]
        one.differences = differences(OF_JOB, first, stands)
        names = {found.heading for found in one.differences}
        one.values = {
            column.key: first.values[column.key]
            for column in OF_JOB.columns
            if column.name in names
        }
        check("job", first, editable("job", stands) | one.values)
    _put_colours(one, rows, colours, book)
    one.faults = [fault for out in rows for fault in out.faults]
    return one


def _agree(first: Read, out: Read) -> None:
    """What a later row says of the job; the first row that says anything counts."""
    for key, value in out.values.items():
        if not same(first.values.setdefault(key, value), value):
            out.fault(key, say("Say the same as row {0}, or leave it empty.", first.row.number))


def _colour_values(out: Read, book: Book) -> Body:
    """Take what a row says of its colour out of the values of the job."""
    keys = [key for key in out.values if key.startswith(OF_COLOUR)]
    values = {key.removeprefix(OF_COLOUR): out.values.pop(key) for key in keys}
    if "mesh" in values:
        values["mesh"] = _mesh(out, values["mesh"], book)
    if values and "name" not in values:
        out.fault("colour.name", say("Name the colour, or leave its other cells empty too."))
    return values


def _mesh(out: Read, name: str, book: Book) -> str | None:
    found = book.mesh(name)
    if found and not found["retired"]:
        return str(found["id"])
    if found:
        out.fault("colour.mesh", say("This mesh is retired: name another one."))
        return None
    known = [body["name"] for its in book.meshes.values() for body in its]
    near = get_close_matches(plain(name), {plain(one): one for one in known}, 1, 0.6)
    meant = (
        say("Did you mean {0}?", next(one for one in known if plain(one) == near[0]))
        if near
        else ""
    )
    unknown = say("No mesh has this name: take in its mesh first.")
    out.fault("colour.mesh", f"{unknown} {meant}".strip())
    return None


def _put_colours(one: Proposal, rows: list[Read], colours: list[Body], book: Book) -> None:
    there = book.colours.get(one.thing or "", {})
    taken: dict[int, int] = {}
    for out, values in zip(rows, colours, strict=True):
        if not values:
            continue
        position = values.setdefault("position", max(taken, default=0) + 1)
        if position in taken:
            remedy = say("Give each colour its own place: row {0} has this one.", taken[position])
            out.fault("colour.position", remedy)
        taken.setdefault(position, out.row.number)
        _put_colour(one, out, values, there.get(position), book)


def _put_colour(one: Proposal, out: Read, values: Body, stands: Body | None, book: Book) -> None:
    if stands is None:
        one.differences += [
            Difference(say("colour {0}", values["position"]), "", values.get("name", ""))
        ]
        one.parts.append(Part(values))
        _check_colour(out, {"job": NOWHERE} | values)
        return
    changed = {key: value for key, value in values.items() if not same(value, stands[key])}
    if changed:
        one.parts.append(Part(changed, str(stands["id"]), stands["version"]))
        one.differences += [_told(key, value, stands, book) for key, value in changed.items()]
        _check_colour(out, editable("colour", stands) | changed)


def _check_colour(out: Read, values: Body) -> None:
    """The form's field names are the column keys without what they are of."""
    aside = Read(out.row, out.headings)
    check("colour", aside, values)
    said = {fault.heading for fault in out.faults}
    for fault in aside.faults:
        key = f"{OF_COLOUR}{fault.heading}"
        place = out.headings.places.get(key)
        if (place.typed if place else key) not in said:
            out.fault(key, fault.remedy)


def _told(key: str, value: Any, stands: Body, book: Book) -> Difference:
    column = JOBS.column(f"{OF_COLOUR}{key}")
    names = {str(body["id"]): body["name"] for its in book.meshes.values() for body in its}
    was, becomes = (
        names.get(each, "") if key == "mesh" else cell(column, each)
        for each in (stands[key], value)
    )
    return Difference(say("colour {0}: {1}", stands["position"], column.name), was, becomes)
