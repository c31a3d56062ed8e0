"""From entries to state: pure, and the same on every machine.

State is plain JSON: `{"frames": {id: …}, "screens": {id: …}, "meters": {id: …}}`. Inner values are
replaced, never changed in place, so a state that was handed out stays what it was.

While folding, `waiting` has by frame and screen the entries that name a screen not begun yet. It is
kept nowhere: the log has them, and a mesh that was named before it was fitted is folded anew.
"""

from collections.abc import Iterable
from typing import Any

from frames.effects import EFFECTS, begun
from frames.entries import ACTS, Raw, corrected_ms, fits, is_act, is_known
from frames.times import utc_text

Json = dict[str, Any]
State = dict[str, dict[str, Json]]


def order_key(entry: Raw) -> tuple[int, str, int, str]:
    """The total order of the log: corrected time, install, its numbering, id."""
    return corrected_ms(entry), entry["install_id"], entry["device_seq"], entry["id"]


def effective(entries: Iterable[Raw]) -> list[Raw]:
    """Every entry once, in order, as corrections and voids leave it.

    Of all corrections and voids of one entry the last in order counts. A voided correction
    counts for nothing; a void itself cannot be voided or corrected.
    """
    once: dict[str, Raw] = {}
    for entry in entries:
        if is_known(entry):
            once.setdefault(entry["id"], entry)
    last = _last_acts(once)
    plain = (entry for entry in once.values() if not is_act(entry))
    standing = (as_corrected(entry, last.get(entry["id"])) for entry in plain)
    return sorted((entry for entry in standing if entry), key=order_key)


def _last_acts(once: dict[str, Raw]) -> dict[str, Raw]:
    """The correction or void that counts, by the id of the entry that it names."""
    acts = sorted((e for e in once.values() if is_act(e)), key=order_key)
    dropped = {act["payload"]["voids"] for act in acts if act["kind"] == "void"}
    last = {}
    for act in acts:
        target = act["payload"][ACTS[act["kind"]]]
        if act["kind"] == "void" or (act["id"] not in dropped and _fits(once.get(target), act)):
            last[target] = act
    return last


def _fits(target: Raw | None, correction: Raw) -> bool:
    return bool(target) and fits(target["kind"], correction["payload"]["payload"])


def as_corrected(entry: Raw, act: Raw | None) -> Raw | None:
    """The entry as it stands: unchanged, replaced in part, or None if void."""
    if act is None:
        return entry
    if act["kind"] == "void":
        return None
    replaced = ("payload", "frame", "screen", "occurred_at")
    return entry | {key: act["payload"][key] for key in replaced}


def empty() -> State:
    return {"frames": {}, "screens": {}, "meters": {}, "waiting": {}}


def fold(entries: Iterable[Raw]) -> State:
    """The state after all entries, whatever order they are given in."""
    state = run(effective(entries))
    return {name: rows for name, rows in state.items() if name != "waiting"}


def run(effective_entries: Iterable[Raw]) -> State:
    """The state after entries that are effective and in order already, with what waits."""
    state = empty()
    for entry in effective_entries:
        _take(state, entry)
    return state


def step(state: State, entry: Raw) -> State:
    """The state after one more effective entry that sorts after all others."""
    after = {name: dict(rows) for name, rows in state.items()}
    if is_known(entry) and not is_act(entry):
        _take(after, entry)
    return after


def _take(state: State, entry: Raw) -> None:
    at = utc_text(corrected_ms(entry))
    if entry["kind"] == "meter_zeroed":
        meter = entry["subject"]["id"]
        zero = entry["payload"]["zero_n_per_cm"]
        state["meters"][meter] = {"meter": meter, "zeroed_at": at, "zero_n_per_cm": zero}
        return
    named = state["screens"].get(entry["screen"])
    frame_id = entry["frame"] or (named and named["frame"])
    if not frame_id:
        return
    frame = state["frames"].get(frame_id) or _new_frame(frame_id)
    last = {"at": at, "kind": entry["kind"]}
    state["frames"][frame_id] = frame | _on_frame(frame, entry, at) | {"last": last}
    if entry["kind"] == "mesh_fitted":
        _begin(state, frame_id, entry, at)
    elif screen_id := entry["screen"] or frame["screen"]:
        _on_screen_or_later(state, frame_id, screen_id, entry)


def _new_frame(frame_id: str) -> Json:
    return {
        "frame": frame_id,
        "place": None,
        "bolts": {},
        "screen": None,
        "awaiting_removal": False,
        "last": None,
    }


def _on_frame(frame: Json, entry: Raw, at: str) -> Json:
    payload = entry["payload"]
    if entry["kind"] == "moved":
        place = {key: payload.get(key) for key in ("to", "rack", "press", "station")}
        return {"place": place | {"since": at}}
    if entry["kind"] == "bolt_state":
        bolts = {bolt: was for bolt, was in frame["bolts"].items() if bolt != payload["bolt"]}
        if payload["state"] != "freed":
            bolts[payload["bolt"]] = payload["state"]
        return {"bolts": bolts}
    return {}


def _begin(state: State, frame_id: str, entry: Raw, at: str) -> None:
    """A new mesh on the frame: whatever was on it has ended, whatever waited for it is taken."""
    frame = state["frames"][frame_id]
    if frame["screen"] and frame["screen"] != entry["id"]:
        _end(state, frame["screen"], "replaced", at)
    state["screens"][entry["id"]] = begun(entry, frame_id, at)
    state["frames"][frame_id] = frame | {"screen": entry["id"], "awaiting_removal": False}
    waiting = dict(state["waiting"].get(frame_id, {}))
    held = waiting.pop(entry["id"], [])
    if held:
        state["waiting"][frame_id] = waiting
    for one in held:
        _on_screen(state, entry["id"], one)


def _on_screen_or_later(state: State, frame_id: str, screen_id: str, entry: Raw) -> None:
    if screen_id in state["screens"]:
        _on_screen(state, screen_id, entry)
        return
    waiting = state["waiting"].get(frame_id, {})
    held = [*waiting.get(screen_id, []), entry]
    state["waiting"][frame_id] = waiting | {screen_id: held}


def _on_screen(state: State, screen_id: str, entry: Raw) -> None:
    screen, kind = state["screens"][screen_id], entry["kind"]
    at = utc_text(corrected_ms(entry))
    changes = EFFECTS[kind](screen, entry, at) if kind in EFFECTS else {}
    if at >= screen["last"]["at"]:
        changes["last"] = {"at": at, "kind": kind}
    state["screens"][screen_id] = screen | changes
    if kind == "burst":
        _end(state, screen_id, "burst", at)
    elif kind == "mesh_removed":
        _end(state, screen_id, "removed", at)
    elif kind == "moved" and entry["payload"]["to"] == "scrapped":
        _end(state, screen_id, "scrapped", at)


def _end(state: State, screen_id: str, how: str, at: str) -> None:
    """A screen ends once. After a burst the torn mesh is still on the frame."""
    screen = state["screens"][screen_id]
    frame = state["frames"][screen["frame"]]
    if not screen["ended"]:
        state["screens"][screen_id] = screen | {"ended": {"how": how, "at": at}}
    if frame["screen"] == screen_id:
        torn = how == "burst"
        now = {"screen": screen_id if torn else None, "awaiting_removal": torn}
        state["frames"][screen["frame"]] = frame | now
