"""What is odd about an entry and worth a look, though never a reason to refuse it."""

from collections.abc import Iterable
from datetime import timedelta
from uuid import UUID

from django.db.models import QuerySet

from frames.entries import KINDS, VERSION
from frames.models import Entry, Frame, Operator

CLOCK_FAR_MS = 5 * 60_000
AHEAD = timedelta(minutes=2)

# flag → what the office reads beside the entry
MEANINGS = {
    "unknown_kind": "The phone runs a newer app: this kind of entry is not known here yet.",
    "newer_version": "The phone runs a newer app: this form of the entry is not known here yet.",
    "unknown_frame": "No frame with this id is in the book.",
    "retired_frame": "The frame was retired.",
    "unknown_operator": "No operator with this id is in the book.",
    "unknown_target": "The entry that this one corrects or voids has not arrived.",
    "no_effect": "It corrects or voids a correction that cannot be changed.",
    "number_reused": "The phone gave this number to two entries: its storage may have been copied.",
    "clock_unset": "The phone never compared its clock with the server's.",
    "clock_far": "The phone's clock was more than five minutes off.",
    "ahead": "By its clock it happened after it arrived.",
    "unseeing": "It was set without having seen a newer setting from another phone.",
}


def mark(fresh: list[Entry], targets: dict[UUID, Entry]) -> None:
    """Fill `flags` of rows about to be stored; `targets` are the entries they correct or void."""
    frames = _retired({row.frame_id for row in fresh}, Frame.objects.all())
    operators = _retired({_operator(row) for row in fresh}, Operator.objects.all())
    numbers = _numbers(fresh)
    settings = _settings(fresh)
    for row in fresh:
        reused = numbers.setdefault((row.install_id, row.device_seq), row.id) != row.id
        odd = {
            **_by_itself(row),
            "unknown_frame": row.frame_id and row.frame_id not in frames,
            "retired_frame": frames.get(row.frame_id),
            "unknown_operator": _operator(row) and _operator(row) not in operators,
            "unknown_target": row.target_id and row.target_id not in targets,
            "no_effect": _in_vain(row, targets.get(row.target_id)),
            "number_reused": reused,
            "unseeing": any(_unseen(row, other) for other in settings),
        }
        row.flags.extend(flag for flag in MEANINGS if odd.get(flag))
        row.is_flagged = bool(row.flags)


def _by_itself(row: Entry) -> dict[str, bool]:
    return {
        "unknown_kind": row.kind not in KINDS,
        "newer_version": row.kind in KINDS and row.v > VERSION,
        "clock_unset": row.raw["clock_offset_age_ms"] is None,
        "clock_far": abs(row.raw["clock_offset_ms"]) > CLOCK_FAR_MS,
        "ahead": row.corrected_at > row.received_at + AHEAD,
    }


def _in_vain(row: Entry, target: Entry | None) -> bool:
    if target is None or target.kind not in ("correction", "void"):
        return False
    return row.kind == "correction" or target.kind == "void"


def _operator(row: Entry) -> UUID | None:
    return UUID(row.raw["operator"]) if row.raw["operator"] else None


def _retired(ids: Iterable[UUID | None], things: QuerySet) -> dict[UUID, bool]:
    """Whether each thing that is known was retired."""
    return dict(things.filter(id__in=set(ids) - {None}).values_list("id", "retired"))


def _numbers(fresh: list[Entry]) -> dict[tuple[UUID, int], UUID]:
    """Which entry already has the number that one of these claims."""
    installs = {row.install_id for row in fresh}
    numbers = {row.device_seq for row in fresh}
    same = Entry.objects.filter(install_id__in=installs, device_seq__in=numbers)
    return {
        (install, n): id for install, n, id in same.values_list("install_id", "device_seq", "id")
    }


def _settings(fresh: list[Entry]) -> list[Entry]:
    screens = {row.screen_id for row in fresh if row.kind == "target_set"} - {None}
    return list(Entry.objects.filter(kind="target_set", screen_id__in=screens)) if screens else []


def _unseen(row: Entry, other: Entry) -> bool:
    """Another phone's setting stood in the feed when this one was made without having read it."""
    return (
        row.kind == "target_set"
        and other.screen_id == row.screen_id
        and other.install_id != row.install_id
        and other.seq > row.raw["base_seq"]
    )
