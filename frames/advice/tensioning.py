"""Turns towards an even target, and turns for register taken back."""

from dataclasses import replace

import numpy as np

from frames.advice.answers import (
    answers,
    believed,
    doubt,
    foretold,
    last_spots,
    payload,
    thousandth,
    turned,
    with_readings,
)
from frames.advice.history import readings_of
from frames.advice.setup import Json, Setup
from frames.advice.wire import NOTHING_LEARNED
from frames.mechanics import State, TensionPlan, after_readings, plan_tension
from frames.mechanics import what_if as foresee
from frames.mechanics.cautions import cautions
from frames.wording import mark, say

STENCIL_SHIFT_SD = 3.0  # N/cm by which readings over a stencil may differ from the bare mesh's
STENCIL_ON = mark("Stencil on: small turns. The image moves; the stencil may crack.")


@answers
def tension(request: Json) -> Json:
    setup = Setup(request)
    before = believed(setup)
    now = with_readings(setup, before)
    stencil = "coated" if setup.is_coated else "bare"
    spots = last_spots(setup, stencil)
    state, reason = now.state, setup.options.get("override")
    if setup.is_coated and reason:
        state = over_stencil(setup, state, spots)
    refused = setup.is_coated and not reason
    plan = plan_tension(state, setup.aim, setup.limits, readings_of(spots), coated=refused)
    return _told(setup, plan, state, doubt(before, now.state))


def over_stencil(setup: Setup, state: State, spots: list[Json]) -> State:
    """The estimate for the emulsion's own readings: another level, and its own stiffness."""
    factors = ((setup.request.get("estimate") or {}).get("factors") or NOTHING_LEARNED)["coated"]
    k = state.basis.size
    mean, covariance = state.mean.copy(), state.covariance.copy()
    for axis, name in enumerate("xy"):
        covariance[axis * k, axis * k] += STENCIL_SHIFT_SD**2
        at = 2 * k + axis
        mean[at] = factors[name]["mean"]
        covariance[at, :] = covariance[:, at] = 0
        covariance[at, at] = factors[name]["sd"] ** 2
    widened = replace(state, mean=mean, covariance=covariance)
    return replace(after_readings(widened, readings_of(spots)), trusted=state.trusted)


def _told(setup: Setup, plan: TensionPlan, state: State, why: str | None) -> Json:
    found = plan.predicted
    more = (say(STENCIL_ON),) if setup.is_coated else ()
    answer = {
        "status": plan.status,
        "message": plan.message,
        "bolts": turned(plan.turns_48ths, setup.layout.names),
        "predicted": foretold(found.places, found.low, found.mean, found.high) if found else [],
        "limits": list(plan.active),
        "read_next": _place(plan.read_next),
        "rounds_left": plan.rounds if plan.turns_48ths else 0,
        "nip_first": list(plan.nip_first),
        "loose": list(plan.loose),
        "highest_n_per_cm": _or_none(plan.highest_n_per_cm),
        "trusted": state.trusted,
        "why": why,
        "cautions": [*more, *cautions(setup.where)],
    }
    return answer | {"payload": payload(setup, _purpose(setup), plan.status, answer)}


def _purpose(setup: Setup) -> str:
    """What the turns are for: a plan for tension stretches or retensions."""
    return "stretch" if setup.purpose == "stretch" else "retension"


def _place(at: tuple[float, float] | None) -> Json | None:
    return None if at is None else {"u": at[0], "v": at[1]}


def _or_none(value: float | None) -> float | None:
    return None if value is None else thousandth(value)


@answers
def even_up(request: Json) -> Json:
    setup = Setup(request)
    left_in = {bolt: t for bolt, t in setup.screen["register_turns"].items() if t}
    still = setup.limits.why_still(setup.layout)
    back = {b: -t for b, t in left_in.items() if b in setup.layout.names and b not in still}
    now = believed(setup)
    spots = last_spots(setup)
    places = [(s["u"], s["v"]) for s in spots] or [(0.5, 0.5)]
    seen = foresee(now.state, back, np.array(places), setup.limits)
    held = [f"{b}: {why}." for b, why in still.items() if b in left_in]
    more = (say(STENCIL_ON),) if setup.is_coated else ()
    answer = {
        "status": "even_up" if back else "leave",
        "message": _say_even(setup, back, left_in),
        "bolts": turned(back, setup.layout.names),
        "predicted": foretold(places, seen.low, seen.tension, seen.high) if back else [],
        "limits": [*(seen.warnings if spots else ()), *held],
        "read_next": None,
        "rounds_left": 1 if back else 0,
        "nip_first": [],
        "loose": list(seen.loose),
        "highest_n_per_cm": thousandth(seen.highest_n_per_cm) if spots else None,
        "trusted": now.state.trusted,
        "why": doubt(now, now.state),
        "cautions": [*more, *cautions(setup.where)],
    }
    return answer | {"payload": payload(setup, "even_up", "even_up", answer)}


def _say_even(setup: Setup, back: Json, left_in: Json) -> str:
    if not left_in:
        return say("No turns for register are left in: nothing to even up.")
    if not back:
        return say("The bolts that were turned for register cannot be turned now.")
    then = say("Take these turns back clean and dry, before degreasing. Then check the tension.")
    return f"{say('Reclaim first, then even up.')} {then}" if setup.is_coated else then
