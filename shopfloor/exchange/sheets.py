"""Lists written as CSV, row by row as they are asked for."""

import csv
from collections.abc import Iterable, Iterator
from typing import Any

from shopfloor.exchange.guarding import guarded
from shopfloor.exchange.writing import plain_number

BOM = "\ufeff"  # spreadsheet programs then know that it is UTF-8


class _Line:
    """What a csv writer writes to: keeps the row it was given last."""

    text = ""

    def write(self, text: str) -> None:
        self.text = text


def written(rows: Iterable[Iterable[Any]], mark: str = ",") -> Iterator[str]:
    """CSV by RFC 4180, one text for each row; what looks like a formula is guarded."""
    line = _Line()
    writer = csv.writer(line, delimiter=mark, lineterminator="\r\n")
    for number, row in enumerate(rows):
        writer.writerow([_cell(value) for value in row])
        yield line.text if number else BOM + line.text


def _cell(value: Any) -> str:
    """Numbers are ours and stay numbers; every text may have been typed by anybody."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return plain_number(value)
    return str(value) if isinstance(value, int) else guarded(str(value))
