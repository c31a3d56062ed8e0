"""Everything in the book as lists: the three that can be taken in again, and the others."""

import json
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

from frames.models import (
    Colour,
    Entry,
    Frame,
    FrameState,
    Job,
    Mesh,
    Meter,
    Operator,
    Press,
    ScreenState,
)
from frames.wording import mark
from shopfloor.exchange.columns import FRAMES, JOBS, MESHES, ListKind
from shopfloor.exchange.writing import cell, flat

Row = list[Any]
AT_ONCE = 500


@dataclass(frozen=True)
class Written:
    """One list: what it holds, its headings, and its rows as they are read from the book."""

    says: str
    heading: tuple[str, ...]
    rows: Callable[[], Iterator[Row]]

    def all_rows(self) -> Iterator[Row]:
        yield list(self.heading)
        yield from self.rows()


def _typed(kind: ListKind, body: dict[str, Any]) -> Row:
    values = flat(kind, body)
    return [cell(column, values[column.key]) for column in kind.columns]


def frames() -> Iterator[Row]:
    return (_typed(FRAMES, one.body()) for one in Frame.objects.iterator(AT_ONCE))


def meshes() -> Iterator[Row]:
    return (_typed(MESHES, one.body()) for one in Mesh.objects.iterator(AT_ONCE))


def jobs() -> Iterator[Row]:
    """A row for each colour in use; a job without colours has one row."""
    of_job = [column for column in JOBS.columns if not column.key.startswith("colour.")]
    of_colour = [column for column in JOBS.columns if column.key.startswith("colour.")]
    names = dict(Mesh.objects.values_list("pk", "name"))
    for job in Job.objects.prefetch_related("colours").iterator(AT_ONCE):
        body = job.body()
        told = [cell(column, body[column.key]) for column in of_job]
        colours = [colour for colour in job.colours.all() if not colour.retired]
        for colour in colours or [None]:
            about = colour.body() | {"mesh": names.get(colour.mesh_id)} if colour else {}
            yield told + [cell(c, about.get(c.key.partition(".")[2])) for c in of_colour]


def colours() -> Iterator[Row]:
    found = Colour.objects.select_related("job", "mesh").order_by("job__number", "position")
    for one in found.iterator(AT_ONCE):
        mesh = one.mesh.name if one.mesh else ""
        yield [one.pk, one.job.number, one.position, one.name, one.ink, mesh, one.key, one.retired]


def presses() -> Iterator[Row]:
    return ([p.name, p.stations, _json(p.clamps), p.retired] for p in Press.objects.iterator())


def meters() -> Iterator[Row]:
    return ([m.name, m.resolution_n_per_cm, m.note, m.retired] for m in Meter.objects.iterator())


def operators() -> Iterator[Row]:
    return ([o.name, o.note, o.retired] for o in Operator.objects.iterator())


def places() -> Iterator[Row]:
    codes, names = _codes(), dict(Press.objects.values_list("pk", "name"))
    for row in FrameState.objects.order_by("frame").iterator(AT_ONCE):
        press = names.get(row.press, "")
        stuck = _json(row.body["bolts"])
        yield [codes.get(row.frame, row.frame), row.place_kind, row.rack, press, row.station, stuck]


SCREEN = ("retensions", "reclaims", "impressions", "trusted")


def screens() -> Iterator[Row]:
    codes, meshes = _codes(), dict(Mesh.objects.values_list("pk", "name"))
    jobs, colours = dict(Job.objects.values_list("pk", "number")), _colour_names()
    for row in ScreenState.objects.order_by("fitted_at").iterator(AT_ONCE):
        body, check = row.body, row.body["last_check"] or {}
        yield [
            row.pk,
            codes.get(row.frame, row.frame),
            meshes.get(row.mesh, row.mesh),
            row.stencil,
            jobs.get(row.job, row.job),
            colours.get(row.colour, row.colour),
            row.fitted_at.isoformat(),
            row.target,
            row.tolerance,
            check.get("at"),
            *(check.get(key) for key in ("low", "high", "mean", "spread")),
            *(body[key] for key in SCREEN),
            _json(body["turns"]),
            _json(body["register_turns"]),
            *((body["ended"] or {}).get(key) for key in ("how", "at")),
        ]


def entries() -> Iterator[Row]:
    """The log as it came; the last column is the whole entry."""
    codes = _codes()
    operators = {str(pk): name for pk, name in Operator.objects.values_list("pk", "name")}
    for row in Entry.objects.order_by("seq").iterator(AT_ONCE):
        raw = row.raw
        yield [
            row.seq,
            row.kind,
            row.corrected_at.isoformat(),
            row.received_at.isoformat(),
            codes.get(row.frame_id, row.frame_id),
            row.screen_id,
            operators.get(str(raw.get("operator")), raw.get("operator")),
            row.device,
            " ".join(row.flags),
            row.digest,
            _json(raw),
        ]


def _codes() -> dict[Any, str]:
    return dict(Frame.objects.values_list("pk", "code"))


def _colour_names() -> dict[Any, str]:
    return dict(Colour.objects.values_list("pk", "name"))


def _json(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"))


def _headings(kind: ListKind) -> tuple[str, ...]:
    return tuple(column.heading for column in kind.columns)


LISTS: dict[str, Written] = {
    "frames": Written(mark("all frames with their bolts"), _headings(FRAMES), frames),
    "meshes": Written(mark("the mesh cards"), _headings(MESHES), meshes),
    "jobs": Written(mark("jobs with their colours"), _headings(JOBS), jobs),
    "colours": Written(
        mark("every colour, retired ones too"),
        ("id", "job", "printed as", "colour", "ink", "mesh", "key colour", "retired"),
        colours,
    ),
    "presses": Written(
        mark("presses with their clamps"), ("name", "stations", "clamps", "retired"), presses
    ),
    "meters": Written(
        mark("tension meters"), ("name", "smallest step [N/cm]", "note", "retired"), meters
    ),
    "operators": Written(mark("operators"), ("name", "note", "retired"), operators),
    "places": Written(
        mark("where each frame is now"),
        ("frame", "is at", "rack place", "press", "station", "bolts that do not turn"),
        places,
    ),
    "screens": Written(
        mark("every screen as the log has it now"),
        (
            "id",
            "frame",
            "mesh",
            "stencil",
            "job",
            "colour",
            "mesh fitted",
            "target [N/cm]",
            "tolerance [N/cm]",
            "last check",
            "low [N/cm]",
            "high [N/cm]",
            "mean [N/cm]",
            "spread [N/cm]",
            "retensions",
            "reclaims",
            "impressions",
            "bolts measured",
            "turns [1/48]",
            "turns in for register [1/48]",
            "ended by",
            "ended at",
        ),
        screens,
    ),
    "entries": Written(
        mark("the whole log, entry by entry"),
        (
            "place in log",
            "kind",
            "time",
            "received",
            "frame",
            "screen",
            "operator",
            "device",
            "flags",
            "digest",
            "entry as it came",
        ),
        entries,
    ),
}
