"""Lives of screens, each with one thing that can go otherwise than expected."""

from collections.abc import Callable
from typing import Any

from frames.times import milliseconds, utc_text
from tests.log import payloads
from tests.log.making import DAY_MS, MINUTE_MS, Maker

Raw = dict[str, Any]
Life = Callable[[Maker], list[Raw]]


def plain(maker: Maker) -> list[Raw]:
    return maker.entries(9)


def shuffled(maker: Maker) -> list[Raw]:
    entries = maker.entries(8)
    maker.random.shuffle(entries)
    return entries


def repeated(maker: Maker) -> list[Raw]:
    entries = maker.entries(6)
    return [*entries, *maker.random.choices(entries, k=4)]


def voided(maker: Maker) -> list[Raw]:
    entries = maker.entries(6)
    voids = [maker.void(entry) for entry in maker.random.sample(entries, 2)]
    return [*voids, *entries] if maker.random.random() < 0.5 else [*entries, *voids]


def mesh_voided(maker: Maker) -> list[Raw]:
    """The mesh before comes back: nothing had replaced it."""
    frame = maker.frames[0]
    entries = [maker.fit(frame), maker.on(frame, "tension_check")]
    maker.now_ms += DAY_MS
    second = maker.fit(frame)
    entries += [second, maker.on(frame, "coated")]
    return [*entries, maker.void(second)]


def corrected(maker: Maker) -> list[Raw]:
    frame = maker.frames[0]
    entries = [maker.fit(frame), maker.on(frame, "tension_check"), maker.on(frame, "bolt_turns")]
    for entry in maker.random.sample(entries[1:], 1 + maker.random.randrange(2)):
        maker.now_ms += MINUTE_MS
        new = payloads.MAKE[entry["kind"]](maker, frame)
        entries.append(maker.correct(entry, payload=new))
    return entries


def corrected_twice(maker: Maker) -> list[Raw]:
    """The last correction counts, unless it is void: then the one before does."""
    frame = maker.frames[0]
    entries = [maker.fit(frame), check := maker.on(frame, "tension_check")]
    for _ in range(2):
        maker.now_ms += MINUTE_MS
        entries.append(maker.correct(check, payload=payloads.tension_check(maker, frame)))
    if maker.random.random() < 0.6:
        entries.append(maker.void(maker.random.choice(entries[2:])))
    maker.random.shuffle(entries)
    return entries


def voided_then_corrected(maker: Maker) -> list[Raw]:
    """Of a void and a correction of one entry, the later counts."""
    frame = maker.frames[0]
    entries = [maker.fit(frame), check := maker.on(frame, "tension_check")]
    acts = [maker.void(check), maker.correct(check, payload=payloads.tension_check(maker, frame))]
    maker.random.shuffle(acts)
    for act in acts:
        maker.now_ms += MINUTE_MS
        act["occurred_at"] = utc_text(maker.now_ms)
    return [*entries, *acts, maker.void(acts[0])]


def corrected_time(maker: Maker) -> list[Raw]:
    """Moved before or behind its neighbours."""
    frame = maker.frames[0]
    entries = [maker.fit(frame)]
    for kind in ("exposed", "impressions", "impressions", "tension_check", "reclaimed"):
        maker.now_ms += MINUTE_MS
        entries.append(maker.on(frame, kind))
    entry = maker.random.choice(entries[1:])
    shift = maker.random.choice([-10, -2, 2, 10]) * MINUTE_MS
    then = utc_text(milliseconds(entry["occurred_at"]) + shift)
    return [*entries, maker.correct(entry, occurred_at=then)]


def wrong_frame(maker: Maker) -> list[Raw]:
    """Logged on one frame, meant for another; sometimes it was the mesh itself."""
    here, there = maker.frames[0], maker.frames[-1]
    entries = [maker.fit(here), *([maker.fit(there)] if here is not there else [])]
    entries += [maker.on(here, kind) for kind in ("tension_check", "moved", "bolt_state")]
    entry = maker.random.choice([entries[0], *entries[-3:]])
    screen = entry["id"] if entry["kind"] == "mesh_fitted" else there.screen
    return [*entries, maker.correct(entry, frame=there.id, screen=screen)]


def pending(maker: Maker) -> list[Raw]:
    """Entries name a mesh that, by the clocks, was fitted only later."""
    frame = maker.frames[0]
    fitted = maker.fit(frame)
    kinds = maker.random.choices(payloads.USUAL[:-1], k=4)
    entries = [maker.on(frame, kind) for kind in kinds if kind != "meter_zeroed"]
    for place, entry in enumerate(entries):
        entry["occurred_at"] = utc_text(maker.now_ms - (9 - place) * MINUTE_MS)
    never = [] if maker.random.random() < 0.2 else [fitted]
    return [*entries, *never]


def late(maker: Maker) -> list[Raw]:
    entries = maker.entries(7)
    moved = entries.pop(maker.random.randrange(len(entries)))
    return [*entries, moved]


def clocks(maker: Maker) -> list[Raw]:
    """Phones whose clocks are off, and some that never noticed."""
    for phone in maker.phones:
        phone.offset_ms = maker.random.choice([-DAY_MS, -90_000, 0, 1, 3_600_000, DAY_MS])
    entries = maker.entries(7)
    for entry in maker.random.sample(entries, 2):
        entry["clock_offset_ms"] = 0
    return entries


def zones(maker: Maker) -> list[Raw]:
    """The same moments, written in the times of other places."""
    entries = maker.entries(6)
    for entry in entries:
        hours, sign = maker.random.choice([(1, 1), (5, -1), (9, 1)])
        local = utc_text(milliseconds(entry["occurred_at"]) + sign * hours * 60 * MINUTE_MS)
        entry["occurred_at"] = f"{local[:-1]}{'+' if sign > 0 else '-'}0{hours}:00"
    return entries


def same_moment(maker: Maker) -> list[Raw]:
    """Equal times are told apart by install, then by number."""
    entries = maker.entries(7)
    for entry in entries:
        entry["occurred_at"] = utc_text(maker.now_ms)
    maker.random.shuffle(entries)
    return entries


def ended(maker: Maker) -> list[Raw]:
    """Burst, taken off, scrapped or replaced, in some order, and logged on afterwards."""
    frame = maker.frames[0]
    entries = [maker.fit(frame), maker.on(frame, "tension_check")]
    kinds = ["burst", "mesh_removed", "moved", "mesh_fitted", "note", "tension_check"]
    for kind in maker.random.sample(kinds, 4):
        maker.now_ms += MINUTE_MS
        if kind == "mesh_fitted":
            entries.append(maker.fit(frame))
        elif kind == "moved":
            entries.append(maker.on(frame, kind, payload=payloads.scrapped(maker, frame)))
        else:
            entries.append(maker.on(frame, kind))
    return entries


def unknown(maker: Maker) -> list[Raw]:
    """Kinds and versions from a newer app have no effect yet."""
    entries = maker.entries(5)
    entries[1]["v"] = 2
    entries[3]["kind"] = "foreseen"
    return entries


def bare_names(maker: Maker) -> list[Raw]:
    """Only a frame, only a screen, or neither is named."""
    frame = maker.frames[0]
    entries = [maker.fit(frame)]
    for kind in ("tension_check", "bolt_turns", "note", "moved", "impressions"):
        maker.now_ms += MINUTE_MS
        left_out = maker.random.choice([{"screen": None}, {"frame": None}])
        entries.append(maker.on(frame, kind) | left_out)
    lost = maker.entry("note", {"note": "for the whole shop"})
    return [*entries, lost]


def register(maker: Maker) -> list[Raw]:
    """Turned for register, looked at, evened up at reclaim."""
    frame = maker.frames[0]
    entries = [maker.fit(frame)]
    kinds = ["register_tweak", "register_tweak", "after_marks", "cause_found", "reclaimed"]
    for kind in kinds:
        maker.now_ms += MINUTE_MS
        entries.append(maker.on(frame, kind))
    back = [
        {"bolt": turn["bolt"], "turn_48ths": -turn["turn_48ths"]}
        for turn in entries[1]["payload"]["bolts"]
    ]
    if back:
        even = payloads.bolt_turns(maker, frame) | {"purpose": "even_up", "bolts": back}
        entries.append(maker.on(frame, "bolt_turns", payload=even))
    return entries


def misfit(maker: Maker) -> list[Raw]:
    """Corrections, often there before what they correct, whose payload is of another kind.

    They count for nothing, and leave an earlier correction or void standing.
    """
    frame = maker.frames[0]
    entries = [maker.fit(frame)]
    entries += [maker.on(frame, kind) for kind in ("tension_check", "bolt_turns", "bolt_state")]
    corrections = []
    for entry, other in zip(
        entries[1:], ("bolt_turns", "bolt_state", "tension_check"), strict=True
    ):
        maker.now_ms += MINUTE_MS
        if maker.random.random() < 0.5:
            good = payloads.MAKE[entry["kind"]](maker, frame)
            corrections.append(maker.correct(entry, payload=good))
        maker.now_ms += MINUTE_MS
        bad = maker.random.choice([payloads.MAKE[other](maker, frame), {}, {"bolts": "A1"}])
        corrections.append(maker.correct(entry, payload=bad))
    return [*corrections, *entries] if maker.random.random() < 0.7 else [*entries, *corrections]


LIVES: dict[str, tuple[Life, int]] = {
    "plain": (plain, 24),
    "shuffled": (shuffled, 14),
    "repeated": (repeated, 6),
    "voided": (voided, 14),
    "mesh voided": (mesh_voided, 8),
    "corrected": (corrected, 14),
    "corrected twice": (corrected_twice, 12),
    "voided then corrected": (voided_then_corrected, 12),
    "corrected time": (corrected_time, 12),
    "wrong frame": (wrong_frame, 14),
    "pending": (pending, 16),
    "late": (late, 12),
    "clocks": (clocks, 14),
    "zones": (zones, 6),
    "same moment": (same_moment, 8),
    "ended": (ended, 16),
    "unknown": (unknown, 6),
    "bare names": (bare_names, 8),
    "register": (register, 10),
    "misfit": (misfit, 12),
}
