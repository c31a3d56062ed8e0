"""Rows of a file against the book: what is new, what changes, what has to be mended; pure."""

from collections.abc import Callable
from typing import Any

from frames.codes import format_code, parse_code
from frames.errors import CodeError
from frames.wording import say
from shopfloor.exchange.cells import plain
from shopfloor.exchange.columns import FRAMES, KINDS, MESHES, ListKind
from shopfloor.exchange.headings import Headings, understood
from shopfloor.exchange.job_rows import job_proposals
from shopfloor.exchange.proposals import Body, Book, Proposal
from shopfloor.exchange.retiring import editable, settle_retired
from shopfloor.exchange.rows import Read, check, differences, nested, read
from shopfloor.exchange.splitting import Sheet

SEEN = dict[tuple[str, Any], int]
LAID_ONCE = ("inside_a_mm", "inside_b_mm", "bolts.A", "bolts.B", "bolts.C", "bolts.D")


def proposals(slug: str, sheet: Sheet, book: Book) -> tuple[Headings, list[Proposal]]:
    """All things of a file in the order of their rows; HeadingProblem if its heading is unclear."""
    headings = understood(KINDS[slug], sheet.heading)
    return headings, MAKERS[slug]([read(row, headings) for row in sheet.rows], book)


def frame_proposals(rows: list[Read], book: Book) -> list[Proposal]:
    seen: SEEN = {}
    return [_frame(out, book, seen) for out in rows]


def mesh_proposals(rows: list[Read], book: Book) -> list[Proposal]:
    seen: SEEN = {}
    return [_mesh(out, book, seen) for out in rows]


MAKERS: dict[str, Callable[[list[Read], Book], list[Proposal]]] = {
    "frames": frame_proposals,
    "meshes": mesh_proposals,
    "jobs": job_proposals,
}


def _frame(out: Read, book: Book, seen: SEEN) -> Proposal:
    number, engraved = _number(out, book), out.values.get("second_name", "")
    stands = book.frames.get(number) if number else book.engraved.get(plain(engraved))
    other = book.engraved.get(plain(engraved))
    if other and number and other["number"] != number:
        out.fault("second_name", say("Choose another: frame {0} has this one.", other["code"]))
    for key, value in (("number", number), ("second_name", plain(engraved))):
        _once(out, key, value, seen)
    if stands and str(stands["id"]) in book.used:
        _refuse_to_relay(out, stands)
    name = _frame_name(number, engraved, book, stands)
    return propose(FRAMES, out, stands, name)


def _number(out: Read, book: Book) -> int | None:
    """The frame's number, by its own column or by its code."""
    code = out.values.pop("code", None)
    if code is None:
        return out.values.get("number")
    told = parse_code(code)
    if out.values.setdefault("number", told.number) != told.number:
        out.fault("code", say("Make code and number agree, or leave one of them out."))
    stands = book.frames.get(told.number)
    if told.prefix != book.prefix and (stands is None or stands["code"] != code):
        out.fault(
            "code", say("Codes of this shop begin with {0}: give the number alone.", book.prefix)
        )
    return out.values["number"]


def _frame_name(number: int | None, engraved: str, book: Book, stands: Body | None) -> str:
    if stands:
        return stands["code"]
    try:
        return format_code(book.prefix, number) if number else engraved or say("next free number")
    except CodeError:
        return str(number)


def _refuse_to_relay(out: Read, stands: Body) -> None:
    """Places of bolts give logged turns their meaning, so they stay once the log names them."""
    moved = differences(FRAMES, out, stands)
    names = {one.heading for one in moved}
    for key in LAID_ONCE:
        column = FRAMES.column(key)
        if column and column.name in names:
            out.fault(
                key, say("Leave it as it is: the log has entries for this frame as it stands.")
            )


def _mesh(out: Read, book: Book, seen: SEEN) -> Proposal:
    name = out.values.get("name", "")
    _once(out, "name", plain(name), seen)
    in_use = [body for body in book.meshes.get(plain(name), []) if not body["retired"]]
    if len(in_use) > 1:
        out.fault(
            "name", say("{0} meshes have this name: rename them in the office first.", len(in_use))
        )
    for key in [key for key in out.values if key.startswith("origin.")]:
        stands = book.mesh(name)
        part = key.partition(".")[2]
        if f"card.{part}" not in out.values and part not in (stands or {"card": {}})["card"]:
            out.fault(key, say("Give the value as well, or leave both cells empty."))
    return propose(MESHES, out, book.mesh(name), name)


def _once(out: Read, key: str, value: Any, seen: SEEN) -> None:
    """Fault where an earlier row of the file has the same number or name."""
    if not value:
        return
    first = seen.setdefault((key, value), out.row.number)
    if first != out.row.number:
        out.fault(key, say("Keep one of the two rows: row {0} has this already.", first))


def propose(kind: ListKind, out: Read, stands: Body | None, name: str) -> Proposal:
    """One thing in one row."""
    one = Proposal(name, [out.row.number], [out.row.cells], faults=out.faults)
    settle_retired(kind, out, stands)
    if stands is None:
        one.values = nested(out.values.items())
        check(kind.kind, out, _complete(kind, one.values))
        return one
    one.thing, one.version = str(stands["id"]), stands["version"]
    one.differences = differences(kind, out, stands)
    names = {found.heading for found in one.differences}
    changed = [pair for pair in out.values.items() if _named(kind, pair[0]) in names]
    one.values = nested(changed, stands)
    if one.values:
        check(kind.kind, out, editable(kind.kind, stands) | one.values)
    return one


def _named(kind: ListKind, key: str) -> str:
    column = kind.column(key)
    return column.name if column else ""


def _complete(kind: ListKind, values: Body) -> Body:
    """A frame without any bolts is told side by side what is missing."""
    return {"bolts": {}} | values if kind is FRAMES else values
