"""What is odd about an entry and worth a look, though never a reason to refuse it."""

from collections.abc import Iterable
from datetime import timedelta
from uuid import UUID

from django.db.models import QuerySet

from frames.entries import KINDS, VERSION, is_known
from frames.folding import order_key
from frames.models import Entry, Frame, Operator
from frames.wording import mark

CLOCK_FAR_MS = 5 * 60_000
AHEAD = timedelta(minutes=2)
# No phone saves so many entries between two that arrive.
LEAP = 1_000_000

# flag → what the office reads beside the entry
MEANINGS = {
    "unknown_kind": mark("The phone runs a newer app: this kind of entry is not known here yet."),
    "newer_version": mark(
        "The phone runs a newer app: this form of the entry is not known here yet."
    ),
    "unknown_frame": mark("No frame with this id is in the book."),
    "retired_frame": mark("The frame was retired."),
    "unknown_operator": mark("No operator with this id is in the book."),
    "unknown_target": mark("The entry that this one corrects or voids has not arrived."),
    "no_effect": mark("It corrects or voids a correction that cannot be changed."),
    "number_reused": mark(
        "The phone gave this number to two entries: its storage may have been copied."
    ),
    "number_leapt": mark(
        "Its number is far above the phone's others; what lies between does not count as missing."
    ),
    "clock_unset": mark("The phone never compared its clock with the server's."),
    "clock_far": mark("The phone's clock was more than five minutes off."),
    "ahead": mark("By its clock it happened after it arrived."),
    "stencil_on": mark(
        "Bolts were turned with a stencil on; neither phone nor person is set up for it."
    ),
    "unseeing": mark("It was set without having seen a newer setting from another phone."),
}


TURNING = {"bolt_turns", "register_tweak", "nipped_up"}
STENCIL_ON = {"coated", "exposed"}
STENCIL_OFF = {"reclaimed", "mesh_fitted"}


def mark(
    fresh: list[Entry],
    targets: dict[UUID, Entry],
    highest: dict[UUID, int],
    *,
    may_turn_with_stencil: bool = True,
) -> None:
    """Fill `flags` of rows about to be stored; `targets` are the entries they correct or void.

    `highest` is how far the numbering of each install came. `may_turn_with_stencil` says whether
    the phone that sent them is set up for that.
    """
    frames = _retired({row.frame_id for row in fresh}, Frame.objects.all())
    operators = _retired({_operator(row) for row in fresh}, Operator.objects.all())
    numbers = _numbers(fresh)
    settings = _settings(fresh)
    on_stencils = set() if may_turn_with_stencil else _turned_with_stencil(fresh)
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
            "number_leapt": row.device_seq > highest.get(row.install_id, 0) + LEAP,
            "stencil_on": row.id in on_stencils,
            "unseeing": row.kind == "target_set" and any(_unseen(row, set) for set in settings),
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


def _turned_with_stencil(fresh: list[Entry]) -> set[UUID]:
    """Turns with emulsion on the mesh at that moment, by people who are not set up for it."""
    allowed = set(Operator.objects.in_use().filter(may_turn_with_stencil=True).values_list("pk"))
    turns = [row for row in fresh if _turns(row) and (_operator(row),) not in allowed]
    if not turns:
        return set()
    kinds = STENCIL_ON | STENCIL_OFF
    before = Entry.objects.filter(screen_id__in={r.screen_id for r in turns}, kind__in=kinds)
    told = [*before, *(row for row in fresh if row.kind in kinds)]
    return {row.id for row in turns if _last_before(row, told) in STENCIL_ON}


def _turns(row: Entry) -> bool:
    return row.kind in TURNING and is_known(row.raw) and bool(row.raw["payload"]["bolts"])


def _last_before(turn: Entry, told: list[Entry]) -> str:
    """The kind of the last entry that put a stencil on this screen or took it off."""
    own = [row for row in told if row.screen_id == turn.screen_id]
    before = [row.raw for row in own if order_key(row.raw) < order_key(turn.raw)]
    return max(before, key=order_key)["kind"] if before else ""


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
        other.screen_id == row.screen_id
        and other.install_id != row.install_id
        and other.seq > row.raw["base_seq"]
    )
