"""What a file proposes: one thing after the other, new, changed, already there or to be mended.

Pure: `Book` is what stands in the book now, read once.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from shopfloor.exchange.cells import plain

Body = dict[str, Any]
NEW, CHANGE, SAME, BAD = "new", "change", "same", "bad"
LEFT = "left"  # kept back when it was to be taken: the book had changed meanwhile


@dataclass(frozen=True)
class Fault:
    """What is wrong with one cell: its row as a spreadsheet counts, heading, text, remedy."""

    row: int
    heading: str
    typed: str
    remedy: str

    def sentence(self) -> str:
        about = f"{self.heading} “{self.typed}”" if self.typed else self.heading
        return f"{about}: {self.remedy}"


@dataclass(frozen=True)
class Difference:
    """A value that stands in the book and the one that the file has instead."""

    heading: str
    was: str
    becomes: str


@dataclass(frozen=True)
class Part:
    """A colour of a job: `thing` is None for a new one."""

    values: Body
    thing: str | None = None
    version: int = 0


@dataclass
class Proposal:
    """One thing, with the rows it stands in."""

    name: str
    rows: list[int]
    cells: list[tuple[str, ...]]
    values: Body = field(default_factory=dict)
    thing: str | None = None
    version: int = 0
    faults: list[Fault] = field(default_factory=list)
    differences: list[Difference] = field(default_factory=list)
    parts: list[Part] = field(default_factory=list)

    @property
    def verdict(self) -> str:
        if self.faults:
            return BAD
        if self.thing is None:
            return NEW
        return CHANGE if self.differences else SAME


class Book:
    """Bodies of what is in the book, found as a file names it."""

    def __init__(
        self,
        prefix: str,
        frames: Iterable[Body] = (),
        meshes: Iterable[Body] = (),
        jobs: Iterable[Body] = (),
        colours: Iterable[Body] = (),
        used: Iterable[str] = (),
    ) -> None:
        self.prefix, self.used = prefix, frozenset(used)
        self.frames = {body["number"]: body for body in frames}
        self.engraved = {
            plain(body["second_name"]): body
            for body in self.frames.values()
            if body["second_name"] and not body["retired"]
        }
        self.meshes: dict[str, list[Body]] = {}
        for body in meshes:
            self.meshes.setdefault(plain(body["name"]), []).append(body)
        self.jobs = {body["number"]: body for body in jobs}
        self.colours: dict[str, dict[int, Body]] = {}
        for body in colours:
            if not body["retired"]:
                self.colours.setdefault(body["job"], {})[body["position"]] = body

    def mesh(self, name: str) -> Body | None:
        """The mesh of this name; one in use before a retired one."""
        known = self.meshes.get(plain(name), [])
        return min(known, key=lambda body: body["retired"], default=None)
