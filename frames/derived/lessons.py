"""What a screen has taught: changes predicted and observed, and what came of each turn plan."""

from dataclasses import dataclass, field

import numpy as np

from frames.advice.history import HOUR_MS, TURNS, USED, Believed, Step, follow
from frames.advice.setup import Setup
from frames.advice.wire import fresh
from frames.derived import outcomes
from frames.derived.estimates import OF_ENTRY, OF_FRAME, OF_MESH
from frames.derived.sources import Json, Screen
from frames.entries import corrected_ms
from frames.mechanics.learning import prior_sd
from frames.times import utc_text

LEAST_CHANGE_N_PER_CM = 0.8  # smaller changes teach more about the meter than about the mesh
LEAST_MOVE_MM = 0.05
LONGEST_H = 6.0  # between the checks: beyond that nobody can tell turning from resting
REST_SD = 0.02  # share of the tension by which a rest may differ from what is expected
MARK_SD_MM = 0.05
# What is further from the prediction than any stiffness explains teaches nothing: entries that
# contradict each other, another frame's readings, a bolt turned and not logged.
CREDIBLE = 5.0  # standard deviations
MOST = 150.0  # change, N/cm or mm: no meter shows more, no mark is off by more
KINDS = ("turn_plan", "after_marks", "exposed", "inspected")
WAYS = ("along_a_n_per_cm", "across_a_n_per_cm")


def inputs(screen: Screen, standing: Json | None) -> Json:
    """Ended screens go on teaching: they have the same frame, or at least the same mesh."""
    entries = [e for e in screen.entries if e["kind"] in USED or e["kind"] in KINDS]
    return {
        "frame": {key: screen.frame[key] for key in OF_FRAME},
        "mesh": {key: screen.mesh[key] for key in OF_MESH},
        "screen": {"screen": screen.id, "turns": {}, "stencil": "bare"},
        "frame_state": {"bolts": screen.frame_state["bolts"]},
        "entries": [{key: e[key] for key in OF_ENTRY} for e in entries],
    }


def derive(inputs: Json) -> Json:
    setup = Setup(inputs)
    steps = list(follow(setup, fresh(setup, None), inputs["entries"]))
    seen = [
        *_of_checks(setup, steps),
        *_of_tweaks(setup, steps, inputs["entries"]),
    ]
    return {
        "mesh": str(inputs["mesh"]["id"]),
        "observations": seen,
        "plans": outcomes.of_plans(inputs["entries"]),
    }


@dataclass
class _Anchor:
    """The last check over the same stencil, and whether bolts were turned since."""

    step: Step
    turned: bool = False
    spoilt: bool = False
    readings: dict[tuple[float, float], Json] = field(default_factory=dict)


def _of_checks(setup: Setup, steps: list[Step]) -> list[Json]:
    """Tension: the change between two checks with turns between them."""
    anchors: dict[str, _Anchor] = {}
    out: list[Json] = []
    for step in steps:
        kind = step.entry["kind"]
        if kind in TURNS:
            for anchor in anchors.values():
                anchor.turned = True
        elif kind == "stand_out":
            anchors.clear()
        elif kind == "tension_check":
            stencil = step.entry["payload"]["stencil"]
            anchor = anchors.get(stencil)
            if anchor and anchor.turned and _is_clear(anchor.step, step):
                out += _changes(setup, anchor, step, stencil == "coated")
            spots = {(s["u"], s["v"]): s for s in step.entry["payload"]["spots"]}
            anchors[stencil] = _Anchor(step, readings=spots)
    return out


def _is_clear(first: Step, second: Step) -> bool:
    """Whether the change tells of the turns: soon enough, and nothing that they do not explain."""
    surprise = second.after.state.surprise
    hours = (corrected_ms(second.entry) - corrected_ms(first.entry)) / HOUR_MS
    return hours <= LONGEST_H and not (surprise and surprise.message)


def _changes(setup: Setup, anchor: _Anchor, step: Step, coated: bool) -> list[Json]:
    spots = {(s["u"], s["v"]): s for s in step.entry["payload"]["spots"]}
    out = []
    for axis, way in enumerate(WAYS):
        places = [
            at
            for at in spots
            if at in anchor.readings
            and spots[at].get(way) is not None
            and anchor.readings[at].get(way) is not None
        ]
        if not places:
            continue
        predicted, rest = _expected(setup, anchor.step.after, step.before, places, axis)
        seen = np.mean([spots[at][way] - anchor.readings[at][way] for at in places])
        level = float(np.mean([anchor.readings[at][way] for at in places]))
        sd = float(
            np.hypot(step.before.state.doubt.reading_sd * np.sqrt(2 / len(places)), REST_SD * level)
        )
        if abs(predicted) >= LEAST_CHANGE_N_PER_CM and _is_credible(predicted, seen - rest, sd):
            out.append(_row(step.entry, "xy"[axis], predicted, seen - rest, sd, coated))
    return out


def _expected(
    setup: Setup, before: Believed, now: Believed, places: list, axis: int
) -> tuple[float, float]:
    """Mean change that the turns should make with factor 1, and what rest should take away."""
    moved = now.state.bar_mm - before.state.bar_mm
    driven = setup.strip.tension(places)[:, axis] @ moved
    factor = before.state.factors[axis]
    total = now.state.tension(places)[:, axis] - before.state.tension(places)[:, axis]
    return float(driven.mean()), float((total - factor * driven).mean())


def _of_tweaks(setup: Setup, steps: list[Step], entries: list[Json]) -> list[Json]:
    """Register: how the marks moved after a tweak."""
    after = {
        e["payload"]["tweak"]: e for e in entries if e["kind"] == "after_marks" and e["payload"]
    }
    coated, out = _coated_at(entries), []
    for step in steps:
        tweak = step.entry
        if tweak["kind"] == "register_tweak" and tweak["id"] in after:
            moved = step.after.state.bar_mm - step.before.state.bar_mm
            row = _movement(setup, moved, tweak, after[tweak["id"]], coated[tweak["id"]])
            out += [row] if row else []
    return out


def _coated_at(entries: list[Json]) -> dict[str, bool]:
    """Whether emulsion was on at each entry."""
    on, out = False, {}
    for entry in entries:
        if entry["kind"] in ("coated", "exposed"):
            on = True
        elif entry["kind"] == "reclaimed":
            on = False
        out[entry["id"]] = on
    return out


def _movement(
    setup: Setup, moved: np.ndarray, tweak: Json, after: Json, coated: bool
) -> Json | None:
    first = {(m["u"], m["v"]): m for m in tweak["payload"]["marks"]}
    pairs = [
        (first[m["u"], m["v"]], m) for m in after["payload"]["marks"] if (m["u"], m["v"]) in first
    ]
    if not pairs:
        return None
    places = [(m["u"], m["v"]) for _, m in pairs]
    way = (setup.strip.displacement(places) @ moved).ravel()
    size = float(np.linalg.norm(way))
    if size < LEAST_MOVE_MM:
        return None
    seen = np.array([(b["dx_mm"] - a["dx_mm"], b["dy_mm"] - a["dy_mm"]) for a, b in pairs]).ravel()
    along = float(seen @ way) / size
    sd = MARK_SD_MM * float(np.sqrt(2))
    if not _is_credible(size, along, sd):
        return None
    return _row(after, "register", size, along, sd, coated)


def _is_credible(predicted: float, observed: float, sd: float) -> bool:
    """Whether a stiffness could explain it: see `CREDIBLE`."""
    reach = CREDIBLE * float(np.hypot(prior_sd() * predicted, sd))
    return max(abs(predicted), abs(observed)) <= MOST and abs(observed - predicted) <= reach


def _row(
    entry: Json, quantity: str, predicted: float, observed: float, sd: float, coated: bool
) -> Json:
    return {
        "entry": entry["id"],
        "at": utc_text(corrected_ms(entry)),
        "quantity": quantity,
        "predicted": round(float(predicted), 3),
        "observed": round(float(observed), 3),
        "sd": round(sd, 3),
        "coated": coated,
    }
