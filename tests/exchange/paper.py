"""Files as people bring them: a good list, changed in one place."""

from typing import Any
from uuid import UUID

from shopfloor.exchange.checking import proposals
from shopfloor.exchange.decoding import decode
from shopfloor.exchange.proposals import Book, Proposal
from shopfloor.exchange.splitting import split

FRAME = {
    "number": "417",
    "second name": "K417",
    "profile": "plain U",
    "inside A [mm]": "800",
    "inside B [mm]": "600",
    "bolts A [mm]": "100 400 700",
    "bolts B [mm]": "150 450",
    "bolts C [mm]": "100 400 700",
    "bolts D [mm]": "150 450",
    "pitch [mm]": "1.5",
    "head": "hex",
    "step": "flat",
    "lock": "twin rod",
}
MESH = {
    "name": "77-48 polyester",
    "material": "polyester",
    "threads per cm": "77",
    "threads per inch": "195",
    "thread [µm]": "48",
    "target [N/cm]": "22",
    "tolerance [N/cm]": "1.5",
    "cap [N/cm]": "30",
}
JOB = {
    "job": "2291",
    "title": "Dial plates",
    "due": "2026-12-03",
    "run": "1200",
    "register tolerance [mm]": "0.15",
    "printed as": "1",
    "colour": "blue",
    "mesh": "77-48 polyester",
}
GOOD = {"frames": FRAME, "meshes": MESH, "jobs": JOB}


def paper(*rows: dict[str, str], mark: str = ";") -> str:
    """A file with these rows; every row has the headings of the first."""
    lines = [mark.join(rows[0])] + [mark.join(row.values()) for row in rows]
    return "\r\n".join(lines) + "\r\n"


def body(kind_values: dict[str, Any], number: int = 1) -> dict[str, Any]:
    """A thing as it stands in the book."""
    return {"id": str(UUID(int=number)), "version": 3, "retired": False} | kind_values


def whole_mesh(name: str, number: int = 1) -> dict[str, Any]:
    values = {"material": "polyester", "count_per_cm": 77.0, "count_per_inch": 195.0}
    values |= {"thread_um": 48.0, "card": {}, "note": "", "target_n_per_cm": 22.0}
    values |= {"tolerance_n_per_cm": 1.5, "cap_n_per_cm": 30.0}
    values |= {"tension_min_n_per_cm": None, "tension_max_n_per_cm": None}
    return body(values | {"name": name}, number)


def book(**more: Any) -> Book:
    return Book("F", **{"meshes": [whole_mesh("77-48 polyester")]} | more)


def proposed(slug: str, data: str | bytes, known: Book | None = None) -> list[Proposal]:
    data = data.encode() if isinstance(data, str) else data
    return proposals(slug, split(decode(data).text), known or book())[1]


def faults(found: list[Proposal]) -> list[str]:
    return [f"row {fault.row}, {fault.sentence()}" for one in found for fault in one.faults]
