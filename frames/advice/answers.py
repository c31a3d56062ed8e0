"""Parts that the answers share."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import wraps

import numpy as np

from frames.advice.history import Believed, follow, from_totals, readings_of
from frames.advice.setup import Json, Setup
from frames.advice.wire import fresh, read
from frames.errors import BadInput, Problem
from frames.mechanics import InputFault, State, after_readings
from frames.mechanics.faults import CONTRADICT
from frames.wording import say

VERSION = 1
WIDEST_BAND_N_PER_CM = 40.0
TIE = 1e-9
Answer = Callable[[Json], Json]


def answers(give: Answer) -> Answer:
    """What the mechanics cannot use is told as everywhere: field, value, remedy."""

    @wraps(give)
    def told(request: Json) -> Json:
        try:
            return {"v": VERSION} | give(request)
        except InputFault as fault:
            raise BadInput([Problem(fault.field, fault.value, fault.remedy)]) from fault
        except (np.linalg.LinAlgError, ArithmeticError) as fault:
            screen = (request.get("screen") or {}).get("screen")
            raise BadInput([Problem("screen", screen, say(CONTRADICT))]) from fault

    return told


def believed(setup: Setup) -> Believed:
    """What is believed after everything the request knows."""
    request = setup.request
    body, since = request.get("estimate"), request.get("since")
    now = read(setup, body) if body else fresh(setup, None)
    if since is None:
        since = [] if body and body["mean"] else from_totals(setup.screen)
    for step in follow(setup, now, since):
        now = step.after
    return now


def with_readings(setup: Setup, now: Believed) -> Believed:
    """And after readings that nobody has saved yet."""
    spots = setup.request.get("readings")
    if not spots:
        return now
    return Believed(after_readings(now.state, readings_of(spots)), now.at, now.turned_at)


def doubt(before: Believed, state: State) -> str | None:
    """Why the count of turns is not relied on: as believed before, or by readings just now."""
    if state.trusted:
        return None
    just_now = state.surprise.message if state.surprise else ""
    return say((just_now if before.state.trusted else before.why) or "") or None


def last_spots(setup: Setup, stencil: str = "bare") -> list[Json]:
    """The spots last read: just now, in the history sent, or by the screen's state."""
    if setup.request.get("readings"):
        return setup.request["readings"]
    for entry in reversed(setup.request.get("since") or []):
        if entry["kind"] == "tension_check" and entry["payload"]["stencil"] == stencil:
            return entry["payload"]["spots"]
    check = setup.screen["checks"][stencil]
    return check["spots"] if check else []


def foretold(places: Sequence, low: np.ndarray, mean: np.ndarray, high: np.ndarray) -> list[Json]:
    """Predicted readings; a direction whose band is wider than any meter's scale is left out."""
    out = []
    for (u, v), *bands in zip(places, low, mean, high, strict=True):
        ways = [
            {"value": thousandth(m), "low": thousandth(lo), "high": thousandth(hi)}
            if hi - lo < WIDEST_BAND_N_PER_CM
            else None
            for lo, m, hi in zip(*bands, strict=True)
        ]
        out.append({"u": float(u), "v": float(v), "along_a": ways[0], "across_a": ways[1]})
    return out


def thousandth(value: float) -> float:
    """Halves go up by far less than anyone measures, so that the last bit does not decide."""
    return round(float(value) + TIE, 3) + 0.0


def turned(turns_48ths: Mapping[str, int], order: Iterable[str]) -> list[Json]:
    return [{"bolt": b, "turn_48ths": turns_48ths[b]} for b in order if turns_48ths.get(b)]


def arrows(places: Sequence, moved_mm: np.ndarray) -> list[Json]:
    return [
        {"u": float(u), "v": float(v), "dx_mm": thousandth(dx), "dy_mm": thousandth(dy)}
        for (u, v), (dx, dy) in zip(places, moved_mm, strict=True)
    ]


def payload(setup: Setup, purpose: str, status: str, answer: Json) -> Json | None:
    """The `turn_plan` entry that goes with an answer; None if nothing is turned."""
    if not answer["bolts"]:
        return None
    estimate = setup.request.get("estimate")
    checks = [e for e in setup.request.get("since") or [] if e["kind"] == "tension_check"]
    after = checks[-1]["id"] if checks else (setup.screen["last_check"] or {}).get("id")
    return {
        "purpose": purpose,
        "after": after,
        "estimate": estimate and {"seq": estimate["seq"], "digest": estimate["digest"]},
        "face": setup.view.face,
        "near": setup.view.near,
        "bolts": answer["bolts"],
        "predicted": answer["predicted"],
        "predicted_marks": answer.get("after", []),
        "status": status,
        "rounds_left": answer.get("rounds_left"),
        "limits": [text[:300] for text in answer["limits"]],
        "override": setup.options.get("override") or None,
    }
