"""The estimate as it travels: rounded so that it stays small, and never less than a covariance."""

import hashlib
import json
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from frames.advice.history import Believed, Step, follow, moment_of
from frames.advice.setup import Json, Setup
from frames.errors import BadInput, Problem
from frames.mechanics import State, begin
from frames.mechanics.state import Surprise
from frames.times import utc_text
from frames.wording import say

VERSION = 2  # 2: the reading that does not fit is named by its place
SCALE = 10_000
FIRST_LEVEL_N_PER_CM = 6.0  # a piece just locked in by hand; the first reading overrules it
QUANTITIES = ("x", "y", "register")
UNLEARNED = {"mean": 1.0, "sd": 0.25, "count": 0}
NOTHING_LEARNED = {
    stencil: {quantity: UNLEARNED for quantity in QUANTITIES} for stencil in ("bare", "coated")
}
OF_A_CHECK = (
    *("after", "at", "mean", "sd", "root", "bar_mm", "draw_mm"),
    *("turned_at", "rounds", "caution", "surprise", "zero_mm"),
)


def fresh(setup: Setup, factors: Json | None) -> Believed:
    """A screen of which nothing is known but what its kind has taught."""
    bare = (factors or NOTHING_LEARNED)["bare"]
    state = begin(
        setup.strip,
        setup.bolt,
        factors=[bare[axis]["mean"] for axis in "xy"],
        factor_sd=[bare[axis]["sd"] for axis in "xy"],
        level_n_per_cm=FIRST_LEVEL_N_PER_CM,
    )
    return Believed(state)


def read(setup: Setup, body: Json) -> Believed:
    """What an estimate's body says."""
    start = fresh(setup, body["factors"])
    if body["mean"] is None:
        return start
    _check_lengths(start.state, body)
    sd, n = np.array(body["sd"], float), len(body["sd"])
    root = np.zeros((n, n))
    root[np.tril_indices(n)] = np.array(body["root"], float) / SCALE
    scaled = sd[:, None] * root
    state = replace(
        start.state,
        mean=np.array(body["mean"], float),
        covariance=scaled @ scaled.T,
        bar_mm=np.array(body["bar_mm"], float),
        draw_mm=np.array(body["draw_mm"], float),
        rounds=body["rounds"],
        trusted=body["trusted"],
        caution=body["caution"],
        surprise=Surprise(1.0, 0.0, 0, body["surprise"]),
    )
    at, turned_at = moment_of(body["at"]), moment_of(body["turned_at"])
    return Believed(state, at, turned_at, body["zero_mm"], 0, body["why"])


def _check_lengths(state: State, body: Json) -> None:
    """BadInput if it was made for another frame, or by another version."""
    n, bolts = len(state.mean), state.layout.count
    wanted = {"mean": n, "sd": n, "root": n * (n + 1) // 2, "bar_mm": bolts, "draw_mm": bolts}
    for key, length in wanted.items():
        found = len(body[key] or ())
        if found != length:
            remedy = say(
                "Send the estimate of this frame as it came: {0} numbers, or null.", length
            )
            raise BadInput([Problem(f"estimate.{key}", say("{0} numbers", found), remedy)])


def estimate(request: Json) -> Json:
    """The body of an estimate: `request` holds frame, mesh, screen, frame_state, since, factors
    (as in the body, or null) and seq."""
    setup = Setup(request)
    steps = list(follow(setup, fresh(setup, request.get("factors")), request["since"]))
    return body_of(setup, steps)


def body_of(setup: Setup, steps: Sequence[Step]) -> Json:
    """Up to the last bare check; what follows is left to whoever holds the newer entries."""
    request = setup.request
    checks = [step for step in steps if _is_bare_check(step.entry)]
    head = {
        "v": VERSION,
        "screen": setup.screen["screen"],
        "seq": request["seq"],
        "digest": digest(request),
    }
    factors = request.get("factors") or NOTHING_LEARNED
    if not checks:
        last = steps[-1].after if steps else None
        trust = {
            "trusted": last.state.trusted if last else True,
            "why": last.why if last else None,
        }
        return head | dict.fromkeys(OF_A_CHECK) | trust | {"factors": factors}
    return head | _told(checks[-1]) | {"factors": factors}


def _is_bare_check(entry: Json) -> bool:
    return entry["kind"] == "tension_check" and entry["payload"]["stencil"] == "bare"


def _told(step: Step) -> Json:
    now = step.after
    state = now.state
    sd, root = _root(state)
    return {
        "after": step.entry["id"],
        "at": None if now.at is None else utc_text(now.at),
        "mean": _rounded(state.mean, 5),
        "sd": sd,
        "root": root,
        "bar_mm": _rounded(state.bar_mm, 4),
        "draw_mm": _rounded(state.draw_mm, 4),
        "turned_at": None if now.turned_at is None else utc_text(now.turned_at),
        "rounds": state.rounds,
        "caution": state.caution,
        "surprise": state.surprise.message if state.surprise else "",
        "zero_mm": None if now.zero_mm is None else round(now.zero_mm, 3),
        "trusted": state.trusted,
        "why": None if state.trusted else now.why,
    }


def _rounded(values: np.ndarray, digits: int) -> list[float]:
    return [round(float(value), digits) + 0.0 for value in values]


def _root(state: State) -> tuple[list[float], list[int]]:
    """Standard deviations, and the lower triangle whose rows are of length 1, as whole numbers."""
    covariance = state.covariance
    sd = np.sqrt(np.maximum(np.diag(covariance), 1e-12))
    correlation = covariance / np.outer(sd, sd)
    n = len(sd)
    root = np.linalg.cholesky((correlation + correlation.T) / 2 + 1e-9 * np.eye(n))
    whole = np.rint(root[np.tril_indices(n)] * SCALE).astype(int).tolist()
    return [float(f"{value:.5g}") for value in sd], whole


def digest(request: Json) -> str:
    """Fingerprint of everything that an estimate depends on."""
    frame, mesh = request["frame"], request["mesh"]
    inputs: list[Any] = [
        VERSION,
        [frame[key] for key in ("inside_a_mm", "inside_b_mm", "bolts", "pitch_mm", "profile")],
        [mesh[key] for key in ("material", "count_per_cm", "thread_um")],
        (request.get("frame_state") or {}).get("bolts", {}),
        request.get("factors"),
        [[e["id"], e["kind"], e["occurred_at"], e["payload"]] for e in request["since"]],
    ]
    text = json.dumps(inputs, sort_keys=True, separators=(",", ":"))
    return hashlib.sha256(text.encode()).hexdigest()[:16]
