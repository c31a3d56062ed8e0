"""Rows of published and derived check values, the source beside each."""

import csv
from pathlib import Path


def rows(name: str) -> list[dict[str, str]]:
    """The rows of ``name``.csv beside this file, empty cells left out."""
    with (Path(__file__).parent / f"{name}.csv").open(newline="") as file:
        return [{k: v for k, v in row.items() if v} for row in csv.DictReader(file)]
