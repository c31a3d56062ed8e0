"""The columns of each list: what they are called, what stands in them, in which unit; pure.

One table for reading, for writing out and for the page that explains it.
"""

from dataclasses import dataclass, field
from typing import Any

from frames.wording import mark, say

MM = {"mm": 1.0, "cm": 10.0, "in": 25.4, "inch": 25.4, "inches": 25.4, '"': 25.4, "″": 25.4}
TENSION = {"n/cm": 1.0}
MICRONS = {"µm": 1.0, "μm": 1.0, "um": 1.0, "micron": 1.0, "microns": 1.0}
PERCENT = {"%": 1.0}
INK = {"cm³/m²": 1.0, "cm3/m2": 1.0}
STEPS = {
    8: ("flat", "sixth", "1/6", "⅙"),
    6: ("eighth", "1/8", "⅛"),
    3: ("sixteenth", "1/16"),
}
WRITES = {
    "text": mark("text"),
    "number": mark("a number"),
    "whole": mark("a whole number"),
    "places": mark("numbers, a space between"),
    "date": mark("year-month-day or day.month.year"),
    "yes_no": mark("yes or no"),
    "code": mark("a code"),
}


@dataclass(frozen=True)
class Column:
    """`key` is the field of the thing; `units` the accepted units with their factor to `unit`."""

    key: str
    name: str
    kind: str
    says: str  # a sentence for the catalogue, `about` what stands in it
    example: str
    needed: bool = False
    unit: str = ""
    units: dict[str, float] = field(default_factory=dict)
    also: tuple[str, ...] = ()
    words: dict[Any, tuple[str, ...]] = field(default_factory=dict)
    about: tuple[str, ...] = ()

    @property
    def told(self) -> str:
        """What stands in it, in words."""
        return say(self.says, *self.about)

    @property
    def heading(self) -> str:
        return f"{self.name} [{self.unit}]" if self.unit else self.name

    @property
    def to_write(self) -> str:
        """What a cell may hold, in words."""
        if self.words:
            return ", ".join(names[0] for names in self.words.values())
        return say(WRITES[self.kind])

    @property
    def must_say_unit(self) -> bool:
        """Two units are usual, so that a guess could be wrong."""
        return "in" in self.units and self.key not in ("tolerance_mm", "pitch_mm")


@dataclass(frozen=True)
class ListKind:
    """One kind of file: its columns, and the one by which a row is known again."""

    kind: str
    slug: str
    known_by: str
    columns: tuple[Column, ...]

    def column(self, key: str) -> Column | None:
        return next((column for column in self.columns if column.key == key), None)


def _choice(*pairs: tuple[str, str]) -> dict[str, tuple[str, ...]]:
    return {value: (name, value) for value, name in pairs}


def _length(key: str, name: str, says: str, example: str, **more: Any) -> Column:
    return Column(key, name, "number", says, example, unit="mm", units=MM, **more)


def _places(side: str, corner: str, example: str) -> Column:
    says = mark("Places of the bolts of side {0}, measured from its {1} corner.")
    return Column(
        f"bolts.{side}",
        f"bolts {side}",
        "places",
        says,
        example,
        needed=True,
        unit="mm",
        units=MM,
        about=(side, corner),
    )


def _tension(key: str, name: str, says: str, example: str, **more: Any) -> Column:
    return Column(key, name, "number", says, example, unit="N/cm", units=TENSION, **more)


def _card(key: str, name: str, unit: str, units: dict[str, float], example: str) -> list[Column]:
    origin = mark("Where the {0} comes from; nominal if empty.")
    origins = _choice(("nominal", "nominal"), ("calculated", "calculated"))
    origins["measured"] = ("measured",)
    return [
        Column(
            f"card.{key}",
            name,
            "number",
            mark("From the mesh card."),
            example,
            unit=unit,
            units=units,
        ),
        Column(
            f"origin.{key}",
            f"{name} from",
            "choice",
            origin,
            "nominal",
            words=origins,
            about=(name,),
        ),
    ]


NOTE = Column("note", "note", "text", mark("Anything else worth knowing."), "corner eased")
RETIRED = Column(
    "retired",
    "retired",
    "yes_no",
    mark("Written out for your records; a retired one stays so."),
    "no",
)

FRAMES = ListKind(
    "frame",
    "frames",
    "number",
    (
        Column("code", "code", "code", mark("As on the label, instead of the number."), "F0417-N"),
        Column(
            "number",
            "number",
            "whole",
            mark("Of the frame; empty takes the next."),
            "417",
            also=("no",),
        ),
        Column(
            "second_name",
            "second name",
            "text",
            mark("As engraved."),
            "K417",
            also=("engraved name",),
        ),
        Column(
            "profile",
            "profile",
            "choice",
            mark("Shape of the sides."),
            "plain U",
            needed=True,
            words=_choice(("plain_u", "plain U"), ("ribbed_u", "ribbed U"), ("boxed_u", "boxed U")),
        ),
        _length(
            "inside_a_mm", "inside A", mark("Along A and C, lock to lock."), "800", needed=True
        ),
        _length(
            "inside_b_mm", "inside B", mark("Along B and D, lock to lock."), "600", needed=True
        ),
        _places("A", "D", "80 240 400 560 720"),
        _places("B", "A", "100 300 500"),
        _places("C", "B", "80 240 400 560 720"),
        _places("D", "C", "100 300 500"),
        _length("pitch_mm", "pitch", mark("How far one turn moves the bolt."), "1.5", needed=True),
        Column(
            "head",
            "head",
            "choice",
            mark("Of the bolts."),
            "hex",
            needed=True,
            words=_choice(("hex", "hex"), ("socket", "socket")),
        ),
        Column(
            "step_48ths",
            "step",
            "choice",
            mark("Smallest turn the shop counts."),
            "flat",
            needed=True,
            words=STEPS,
            also=("step of turn",),
        ),
        Column(
            "lock",
            "lock",
            "choice",
            mark("What holds the mesh."),
            "twin rod",
            needed=True,
            words=_choice(("twin_rod", "twin rod"), ("wedge_strip", "wedge strip")),
        ),
        Column("rods", "rods", "text", mark("Which rods or strips belong in it."), "6 mm"),
        NOTE,
        RETIRED,
    ),
)

MESHES = ListKind(
    "mesh",
    "meshes",
    "name",
    (
        Column(
            "name", "name", "text", mark("What the shop calls it."), "77-48 polyester", needed=True
        ),
        Column(
            "material",
            "material",
            "choice",
            mark("Of the thread."),
            "polyester",
            needed=True,
            words=_choice(("polyester", "polyester"), ("other", "other"))
            | {"stainless": ("stainless", "stainless steel")},
        ),
        Column(
            "count_per_cm",
            "threads per cm",
            "number",
            mark("As on its card."),
            "77",
            needed=True,
            also=("threads/cm", "count per cm", "count/cm"),
        ),
        Column(
            "count_per_inch",
            "threads per inch",
            "number",
            mark("As on its card; not worked out from the other."),
            "195",
            needed=True,
            also=("threads/inch", "threads/in", "count per inch", "count/inch", "count/in"),
        ),
        Column(
            "thread_um",
            "thread",
            "number",
            mark("Diameter of the thread."),
            "48",
            needed=True,
            unit="µm",
            units=MICRONS,
            also=("thread diameter",),
        ),
        _tension("target_n_per_cm", "target", mark("Tension to aim for."), "22", needed=True),
        _tension(
            "tolerance_n_per_cm", "tolerance", mark("Allowed either way."), "1.5", needed=True
        ),
        _tension(
            "cap_n_per_cm", "cap", mark("Never above."), "30", needed=True, also=("never above",)
        ),
        _tension("tension_min_n_per_cm", "range from", mark("Its maker's range."), "18"),
        _tension("tension_max_n_per_cm", "range to", mark("Its maker's range."), "28"),
        *_card("opening_um", "opening", "µm", MICRONS, "80"),
        *_card("open_area_pct", "open area", "%", PERCENT, "38"),
        *_card("thickness_um", "thickness", "µm", MICRONS, "78"),
        *_card("ink_cm3_m2", "ink volume", "cm³/m²", INK, "29"),
        NOTE,
        RETIRED,
    ),
)

JOBS = ListKind(
    "job",
    "jobs",
    "number",
    (
        Column(
            "number",
            "job",
            "text",
            mark("Its number; one row for each colour of it."),
            "2291",
            needed=True,
            also=("job number", "number"),
        ),
        Column("title", "title", "text", mark("What is printed."), "Dial plates", needed=True),
        Column(
            "customer_ref",
            "customer's reference",
            "text",
            mark("As on the order."),
            "PO 7731",
            also=("customer reference", "reference"),
        ),
        Column("due", "due", "date", mark("Day it is due."), "2026-12-03"),
        Column("run", "run", "whole", mark("Sheets to print."), "1200"),
        Column(
            "substrate", "substrate", "text", mark("What it is printed on."), "polycarbonate 0.5"
        ),
        _length(
            "tolerance_mm",
            "register tolerance",
            mark("How far off it may be."),
            "0.15",
            needed=True,
        ),
        Column("done", "done", "yes_no", mark("Printed and delivered."), "no"),
        NOTE,
        RETIRED,
        Column(
            "colour.position",
            "printed as",
            "whole",
            mark("Place in printing order; empty counts on."),
            "1",
            also=("position",),
        ),
        Column(
            "colour.name", "colour", "text", mark("Name of the colour."), "blue", also=("color",)
        ),
        Column("colour.ink", "ink", "text", mark("Ink of the colour."), "UV 3101"),
        Column("colour.mesh", "mesh", "text", mark("Name of the mesh wanted."), "77-48 polyester"),
        Column("colour.key", "key colour", "yes_no", mark("The others are fitted to it."), "yes"),
    ),
)

KINDS: dict[str, ListKind] = {kind.slug: kind for kind in (FRAMES, MESHES, JOBS)}
MENDS = "what to mend"
