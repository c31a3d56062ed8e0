"""Which entries belong together: by frame, by screen, by what they correct or void."""

from collections.abc import Iterable, Iterator
from itertools import islice
from typing import TypeVar
from uuid import UUID

from django.db.models import Q

from frames.models import Entry, FrameState, MeterState, ScreenState

# SQLite takes 32,766 values in one statement; three lists of this size stay well below.
CHUNK = 2000
ORDER = ("corrected_at", "install_id", "device_seq", "id")
T = TypeVar("T")


def of_frames(frame_ids: Iterable[UUID]) -> list[Entry]:
    """Every entry that can have a say in the state of these frames and their screens."""
    return list(closure(Entry.objects.of_frames(frame_ids)))


def of_meter(meter_id: UUID) -> list[Entry]:
    return list(closure(Entry.objects.filter(subject_id=meter_id, kind="meter_zeroed")))


def frames_of(entries: list[Entry]) -> set[UUID]:
    """The frames whose state can change with these entries."""
    together = list(closure(entries))
    named = {row.frame_id for row in together} | {row.moved_to_id for row in together}
    homes = frames_of_screens(row.screen_id for row in together)
    return (named | set(homes.values())) - {None}


def meters_of(entries: list[Entry]) -> set[UUID]:
    return {row.subject_id for row in closure(entries) if row.kind == "meter_zeroed"} - {None}


def frames_of_screens(screens: Iterable[UUID | None]) -> dict[UUID, UUID]:
    """The frame of each screen that is known."""
    known = ScreenState.objects.filter(screen__in=set(screens) - {None})
    return dict(known.values_list("screen", "frame"))


def already_targeted(entries: list[Entry]) -> set[UUID]:
    """Those for which a correction or a void came first."""
    acts = Entry.objects.filter(target_id__in=[row.id for row in entries])
    return set(acts.values_list("target_id", flat=True))


def named_before(meshes: Iterable[Entry]) -> set[UUID]:
    """Meshes just fitted that something named before, or that entries of another frame name."""
    begun = {row.id: row for row in meshes}
    naming = Entry.objects.filter(screen_id__in=begun).only("screen_id", "frame_id", *ORDER)
    named = {
        row.screen_id
        for row in naming
        if row.frame_id != begun[row.screen_id].frame_id
        or _place(row) < _place(begun[row.screen_id])
    }
    return named | (begun.keys() & _corrected_onto(row.frame_id for row in begun.values()))


def _corrected_onto(frame_ids: Iterable[UUID]) -> set[UUID]:
    """Screens of these frames that a correction names, which may put an entry before its mesh."""
    corrections = Entry.objects.filter(moved_to_id__in=set(frame_ids)).only("raw")
    return {UUID(screen) for row in corrections if (screen := row.raw["payload"]["screen"])}


def _place(row: Entry) -> tuple:
    """Where it stands in the total order, as `folding.order_key` has it."""
    return tuple(getattr(row, name) for name in ORDER)


def all_frames() -> set[UUID]:
    columns = (
        Entry.objects.values_list("frame_id"),
        Entry.objects.values_list("moved_to_id"),
        FrameState.objects.values_list("frame"),
        ScreenState.objects.values_list("frame"),
    )
    return {id for column in columns for (id,) in column.order_by().distinct()} - {None}


def all_meters() -> set[UUID]:
    zeroed = Entry.objects.filter(kind="meter_zeroed").values_list("subject_id", flat=True)
    known = set(zeroed) | set(MeterState.objects.values_list("meter", flat=True))
    return known - {None}  # a newer app may zero something else


def closure(entries: Iterable[Entry]) -> Iterable[Entry]:
    """These entries and, link by link, those without which they cannot be understood."""
    found = {row.id: row for row in entries}
    edge = list(found.values())
    while edge:
        near = {id for part in _chunks(edge) for id in _neighbours(part)}
        edge = [row for part in _chunks(near - found.keys()) for row in _rows(part)]
        found |= {row.id: row for row in edge}
    return found.values()


def _chunks(items: Iterable[T]) -> Iterator[list[T]]:
    ahead = iter(items)
    while part := list(islice(ahead, CHUNK)):
        yield part


def _rows(ids: list[UUID]) -> Iterable[Entry]:
    return Entry.objects.filter(id__in=ids)


def _neighbours(rows: list[Entry]) -> Iterable[UUID]:
    """What they target, what targets them, the mesh they name, and what names their mesh."""
    needed = {row.target_id for row in rows} | {row.screen_id for row in rows}
    meshes = [row.id for row in rows if row.kind == "mesh_fitted"]
    near = Entry.objects.filter(Q(target_id__in=[row.id for row in rows]) | Q(screen_id__in=meshes))
    return (needed - {None}) | set(near.values_list("id", flat=True))
