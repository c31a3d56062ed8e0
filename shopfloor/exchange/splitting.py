"""Text of a file becomes a heading and rows of cells; pure."""

import csv
import io
import re
from collections.abc import Iterator
from dataclasses import dataclass

from frames.wording import mark, say
from shopfloor.exchange.decoding import FileProblem
from shopfloor.exchange.guarding import bare

MARKS = (";", "\t", ",")
MARK_NAMES = {";": "semicolon", "\t": "tab", ",": "comma"}
MOST_ROWS = 10_000
LONGEST_CELL = 4000
SAYS_MARK = re.compile(r"sep=([;,\t])\r?\n", re.IGNORECASE)


@dataclass(frozen=True)
class Row:
    """One row as a spreadsheet counts it: the heading is row 1."""

    number: int
    cells: tuple[str, ...]


@dataclass(frozen=True)
class Sheet:
    """A file's heading and the rows below it that are not blank."""

    heading: tuple[str, ...]
    rows: tuple[Row, ...]
    mark: str


def split(text: str) -> Sheet:
    """Heading, rows and the mark between cells; FileProblem if that cannot be told."""
    said = SAYS_MARK.match(text)
    text = text[said.end() :] if said else text
    mark = said[1] if said else _likeliest(text)
    rows = list(_rows(text, mark))
    if not rows:
        raise FileProblem("file", None, say("Choose another file: nothing is in this one."))
    heading, below = rows[0], rows[1:]
    if not below:
        remedy = say("Choose a file with rows below its heading: this one has the heading alone.")
        raise FileProblem("rows", 0, remedy)
    if len(below) > MOST_ROWS:
        raise FileProblem("rows", len(below), say("Split it: a file may have {0} rows.", MOST_ROWS))
    return Sheet(heading.cells, tuple(below), mark)


def _likeliest(text: str) -> str:
    """The mark that parts the first line that has anything into the most cells."""
    first = next((line for line in text.splitlines() if line.strip(" \t;,")), "")
    parts = {mark: len(next(csv.reader([first], delimiter=mark), [])) for mark in MARKS}
    return max(MARKS, key=lambda mark: parts[mark])


def _rows(text: str, mark: str) -> Iterator[Row]:
    """Rows that hold anything. Doubled quotes inside quotes are one, as RFC 4180 has it."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=mark, strict=True)
    number = 0
    while True:
        number += 1
        try:
            cells = next(reader, None)
        except csv.Error:
            raise FileProblem(
                say("row {0}", number),
                say("a quotation mark without its partner"),
                say(_MEND_QUOTES),
            ) from None
        if cells is None:
            return
        told = tuple(bare(cell.replace("\xa0", " ").strip(" ")) for cell in cells)
        _refuse_long(number, told)
        if any(cell.strip() for cell in told):
            yield Row(number, told)


_MEND_QUOTES = mark(
    "Close the quotation mark in this row, or write it twice if it belongs to the text."
)


def _refuse_long(number: int, cells: tuple[str, ...]) -> None:
    longest = max(map(len, cells), default=0)
    if longest > LONGEST_CELL:
        remedy = say(
            "Shorten it to {0} characters, or look for a missing quotation mark.", LONGEST_CELL
        )
        raise FileProblem(say("row {0}", number), say("a cell of {0} characters", longest), remedy)
