"""State rows: stepped on with each entry in order, folded anew where order, frame or mesh changed.

A step costs the same however long the log is; both ways end in the same rows.
"""

from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass
from typing import Any, NamedTuple
from uuid import UUID

from frames import feed, links, rows
from frames.entries import Raw, corrected_ms, parse
from frames.errors import Unreadable
from frames.folding import State, effective, empty, is_act, order_key, run, step
from frames.models import Entry, FrameState
from frames.times import utc_text

Key = tuple[int, str, int, str]
UNREAD = {"unknown_kind", "newer_version"}


class Standing(NamedTuple):
    """What a step needs to know of a frame, by columns of its row."""

    frame: UUID
    screen: UUID | None
    folded_to: list[Any] | None
    body: rows.Json


def refresh(turn: feed.Change, stored: list[Entry]) -> None:
    """Bring state up to date with entries that were just stored, all of kinds known here."""
    odd = _out_of_line(stored)
    frames, meters = links.frames_of(odd), links.meters_of(odd)
    zeroed = [row for row in stored if row.kind == "meter_zeroed"]
    others = [row for row in stored if row.kind != "meter_zeroed" and row.frame_id]
    frames |= _step(turn, [row for row in others if row.frame_id not in frames])
    meters |= _step_meters(turn, [row for row in zeroed if row.subject_id not in meters])
    if frames:
        refold(turn, frames)
    for meter_id in sorted(meters):
        refold_meter(turn, meter_id)


@dataclass(frozen=True)
class Replay:
    """What the log says about some frames, folded from their first entries."""

    told: list[Entry]
    frames: rows.Bodies
    screens: rows.Bodies
    folded_to: dict[str, Key]


def replay(frame_ids: Collection[UUID]) -> Replay:
    told = links.of_frames(frame_ids)
    entries, asked = effective(readable(told)), {str(id) for id in frame_ids}
    state = run(entries)
    screens = {id: body for id, body in state["screens"].items() if body["frame"] in asked}
    folded_to = {}
    for entry in entries:
        home = screens.get(entry["screen"], {}).get("frame")
        folded_to |= dict.fromkeys((home, entry["frame"]), order_key(entry))
    frames = {id: body for id, body in state["frames"].items() if id in asked}
    return Replay(told, frames, screens, folded_to)


def replay_meter(meter_id: UUID) -> rows.Bodies:
    return run(effective(readable(links.of_meter(meter_id))))["meters"]


def readable(told: Iterable[Entry]) -> Iterator[Raw]:
    """What folding may take: nobody has looked inside what came unknown and is known now."""
    return (row.raw for row in told if not came_unknown(row) or is_readable(row))


def came_unknown(row: Entry) -> bool:
    """Whether the version that stored it did not know it, and so did not look inside."""
    return not UNREAD.isdisjoint(row.flags)


def is_readable(row: Entry) -> bool:
    """Whether this version can read it, or leaves it alone as well."""
    try:
        return bool(parse(row.raw))
    except Unreadable:
        return False


def refold(turn: feed.Change, frame_ids: Collection[UUID]) -> None:
    """Write what the log says about some frames, however they stood before."""
    now, before = replay(frame_ids), rows.screens_of(frame_ids)
    rows.write_frames(turn, now.frames, now.folded_to, rows.frames(frame_ids))
    rows.write_screens(turn, now.screens, before)
    for screen in _back_again(turn, now, before):
        rows.send_again(turn, links.of_frames([screen["frame"]]), screen)


def refold_meter(turn: feed.Change, meter_id: UUID) -> None:
    rows.write_meters(turn, replay_meter(meter_id), [meter_id])


def _back_again(turn: feed.Change, now: Replay, before: rows.Bodies) -> Iterator[rows.Json]:
    """Live screens whose mesh was fitted earlier, but which phones believed gone or elsewhere."""
    known = {str(row.id) for row in now.told if row.seq <= turn.begun}
    for id, screen in now.screens.items():
        was_live = id in before and not before[id]["ended"]
        if id in known and not screen["ended"] and not was_live:
            yield screen


def _out_of_line(stored: list[Entry]) -> list[Entry]:
    """Entries that reach beyond the end of one frame's own log."""
    targets = links.already_targeted(stored)
    homes = links.frames_of_screens(row.screen_id for row in stored)
    early = links.named_before(row for row in stored if row.kind == "mesh_fitted")
    return [
        row
        for row in stored
        if is_act(row.raw)
        or row.id in targets
        or row.id in early
        or (row.screen_id and homes.get(row.screen_id, row.frame_id) != row.frame_id)
    ]


def _step(turn: feed.Change, stored: list[Entry]) -> set[UUID]:
    """Step on what is in order; the frames where something is not."""
    by_frame: dict[UUID, list[Entry]] = defaultdict(list)
    for row in sorted(stored, key=lambda row: order_key(row.raw)):
        by_frame[row.frame_id].append(row)
    standing = {row.frame: row for row in _standing(by_frame)}
    late = {id for id, its in by_frame.items() if _is_late(its[0], standing.get(id))}
    ordered = [row for id, its in by_frame.items() if id not in late for row in its]
    if ordered:
        _step_all(turn, ordered, [state for id, state in standing.items() if id not in late])
    return late


def _standing(frame_ids: Iterable[UUID]) -> Iterable[Standing]:
    found = FrameState.objects.filter(frame__in=frame_ids)
    return map(Standing._make, found.values_list(*Standing._fields))


def _is_late(first: Entry, standing: Standing | None) -> bool:
    folded_to = standing and standing.folded_to
    return bool(folded_to) and order_key(first.raw) <= tuple(folded_to)


def _step_all(turn: feed.Change, ordered: list[Entry], standing: list[Standing]) -> None:
    screens = {row.screen_id for row in ordered} | {frame.screen for frame in standing}
    before = rows.screens(screens)
    stood = {str(frame.frame): frame.body for frame in standing}
    state: State = empty() | {"frames": stood, "screens": before}
    folded_to: dict[str, Key] = {}
    for row in ordered:
        state = step(state, row.raw)
        folded_to[row.raw["frame"]] = order_key(row.raw)
    rows.write_frames(turn, state["frames"], folded_to, stood)
    rows.write_screens(turn, state["screens"], before)


def _step_meters(turn: feed.Change, zeroed: list[Entry]) -> set[UUID]:
    """The same for meters, of which only the last zero counts."""
    before = rows.meters({row.subject_id for row in zeroed})
    late = {row.subject_id for row in zeroed if not _is_last(row, before)}
    on_time = [row for row in zeroed if row.subject_id not in late]
    state = empty()
    for row in sorted(on_time, key=lambda row: order_key(row.raw)):
        state = step(state, row.raw)
    if on_time:
        rows.write_meters(turn, state["meters"], [row.subject_id for row in on_time])
    return late


def _is_last(row: Entry, before: rows.Bodies) -> bool:
    stood = before.get(str(row.subject_id))
    return stood is None or utc_text(corrected_ms(row.raw)) > stood["zeroed_at"]
