"""Which bolts to turn, and by how much, to bring the readings to target."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from frames.wording import mark, say, written

from .bar_moves import follow, holding_still
from .bolts import PER_TURN
from .contact import LOOSE_MM
from .layout import OUTWARD
from .limits import Limits, say_turns
from .quadratic import Solution, solve
from .readings import Reading
from .state import State, move
from .tension_program import SURE, Aim, TensionProgram, surely
from .under_cap import draft, under_cap

WORTH = 0.97  # a plan that leaves more than this share of the misses is not worth a trip


@dataclass(frozen=True)
class Predicted:
    """Predicted readings: ``places``, ``mean``, ``low``, ``high``, (n, 2) N/cm; 90 % bands."""

    places: np.ndarray
    mean: np.ndarray
    low: np.ndarray
    high: np.ndarray


@dataclass(frozen=True)
class TensionPlan:
    """Answer of `plan_tension`.

    ``turns_48ths`` bolt -> 48ths of a turn in wrench order, zeros left out; ``status`` one of
    ``"reaches"``, ``"towards"`` (more rounds follow), ``"leave"``, ``"blocked"``, ``"refused"``;
    ``active`` the limits that shaped it, in words; ``predicted`` the readings expected after it;
    ``read_next`` (u, v) of the worst predicted place between readings; ``rounds`` to go, this one
    included; ``loose`` bolts expected to hang loose before nipping up; ``nip_first`` bolts to take
    up before turning; ``unrounded`` (bolts,) turns before rounding; ``highest_n_per_cm`` highest
    tension expected at the readings and over the image (mean + 1.64 sd).
    """

    turns_48ths: dict[str, int]
    status: str
    message: str
    active: tuple[str, ...] = ()
    predicted: Predicted | None = None
    read_next: tuple[float, float] | None = None
    rounds: int = 0
    loose: tuple[str, ...] = ()
    nip_first: tuple[str, ...] = ()
    unrounded: np.ndarray | None = None
    highest_n_per_cm: float | None = None


def plan_tension(
    state: State, aim: Aim, limits: Limits, readings: Sequence[Reading] = (), coated: bool = False
) -> TensionPlan:
    """One round of turns towards an even target.

    Minimises squared misses of the estimated tension at the reading places and over the image area,
    plus bar waviness, plus a little effort, within the limits; then rounds to the shop's step.
    Valid as far as the strip or membrane model is, and only while the readings are the latest.

    Parameters
    ----------
    state : estimate after the latest readings
    aim, limits : see there
    readings : the latest readings, for their places
    coated : emulsion on: no tension plan is given

    >>> from .cloth import Mesh
    >>> from .layout import Layout
    >>> from .state import after_readings, begin
    >>> from .strip import Strip
    >>> s = begin(Strip(Layout.evenly(1000, 1000, 5, 5), Mesh(1000, 1000)))
    >>> r = [Reading(0.5, 0.5, 18.0, 20.4)]
    >>> plan = plan_tension(after_readings(s, r), Aim(20, 0.5), Limits(), r)
    >>> plan.status, plan.message
    ('reaches', 'This round should bring every reading into tolerance.')
    """
    refusal = _refusal(state, aim, limits, coated)
    if refusal:
        return TensionPlan({}, *refusal)
    read = np.array(sorted({(r.u, r.v) for r in readings})).reshape(-1, 2)
    places = np.concatenate([read, state.layout.grid(9)])
    found = _settle_on(state, aim, limits, places, len(read))
    if found is None:
        return TensionPlan(
            {}, "blocked", say("No turns satisfy all limits at once: widen one of them.")
        )
    return _finish(*found)


def _refusal(state: State, aim: Aim, limits: Limits, coated: bool) -> tuple[str, str] | None:
    cap = limits.cap_n_per_cm
    if coated:
        return "refused", (
            say(
                "Emulsion is on: turning now moves the image and may crack the stencil. "
                "Retension after reclaim, or let the screen room override this with a "
                "reason."
            )
        )
    if cap is not None and aim.target_n_per_cm > cap:
        return "refused", (
            say(
                "The target {0} N/cm is above the mesh's highest tension {1} N/cm. Lower "
                "the target or choose another mesh.",
                written(aim.target_n_per_cm, "g"),
                written(cap, "g"),
            )
        )
    if not np.any(limits.moving(state.layout)):
        return "blocked", say("No bolt can be turned: all are hidden, seized or broken.")
    if np.all(state.tension_sd([(0.5, 0.5)]) > 6):
        return "blocked", say("No reading yet: read at least the middle, along and across.")
    return None


def _settle_on(
    state: State, aim: Aim, limits: Limits, places: np.ndarray, read: int
) -> tuple[TensionProgram, Solution] | None:
    """Solve; see which still bolts keep their bar under that plan; solve again until it agrees."""
    layout, best = state.layout, None
    still = ~limits.moving(layout) & ~limits.is_broken(layout)
    bearing = holding_still(state, limits)
    for _ in range(4):
        built = TensionProgram(state, aim, limits, places, read, follow(state, limits, bearing))
        answer = solve(built.program)
        if not answer.ok:
            break
        rest = move(
            state, built.spread(answer.x), limits.turnable(layout), limits.is_broken(layout)
        )
        score = built.miss(rest.bar_mm - state.bar_mm)
        if best is None or score < best[0] - 1e-9:
            best = (score, built, answer)
        now = still & (rest.bar_mm - state.draw_mm < LOOSE_MM)
        if np.array_equal(now, bearing):
            break
        bearing = now
    return best and best[1:]


def _finish(built: TensionProgram, answer: Solution) -> TensionPlan:
    """Round, predict, and say it."""
    whole = draft(built, answer)
    if whole is None:
        return TensionPlan(
            {}, "blocked", say("No whole steps satisfy all limits: choose a finer step.")
        )
    whole = under_cap(whole)
    built, turns, later = whole.built, whole.turns, whole.later
    state, limits = built.state, built.limits
    turnable, broken = limits.turnable(state.layout), limits.is_broken(state.layout)
    rest = move(state, turns, turnable, broken)
    before, after = built.miss(np.zeros(len(turns))), built.miss(rest.bar_mm - state.bar_mm)
    within = np.abs(built.now - built.wanted)[:, built.known].max() <= built.aim.tolerance_n_per_cm
    if within or not turns.any() or after > WORTH * before:
        return _leave(built, bool(within))
    names = state.layout.names
    # bolts that wait in the first round have theirs still to come
    waiting = bool(np.any(turnable & ~built.moving))
    predicted = _predict(later, built)
    gap = np.abs(predicted.mean - built.aim.target_n_per_cm)[:, built.known]
    reaches = not waiting and gap.max() <= built.aim.tolerance_n_per_cm
    rounds = 1 if reaches else max(2, max(1, _rounds(built)) + waiting)
    return TensionPlan(
        {n: round(t * PER_TURN) for n, t in zip(names, turns, strict=True) if t},
        "reaches" if reaches else "towards",
        _message(built, reaches, rounds),
        _active(built, whole.answer),
        predicted,
        _read_next(later, built),
        rounds,
        rest.loose,
        tuple(
            n
            for n, gap in zip(names, state.bar_mm - state.draw_mm, strict=True)
            if gap > LOOSE_MM and turnable[names.index(n)]
        ),
        built.spread(whole.answer.x),
        float(surely(later, built.places)[:, built.known].max()),
    )


def _leave(built: TensionProgram, within: bool) -> TensionPlan:
    """Nothing to turn: in tolerance, or nothing these bolts could do better."""
    message = (
        say("In tolerance: leave it alone.")
        if within
        else say(
            "No turn of the bolts that can be reached would bring it closer. Leave it, or "
            "read more places."
        )
    )
    predicted = _predict(built.state, built)
    return TensionPlan(
        {}, "leave", message, (), predicted, _read_next(built.state, built), unrounded=None
    )


def _predict(state: State, built: TensionProgram) -> Predicted:
    """Readings expected at the reading places (or over the grid if there are none)."""
    places = built.places[: built.read] if built.read else built.places
    mean = state.tension(places)
    half = SURE * np.hypot(state.tension_sd(places), state.doubt.reading_sd)
    return Predicted(places, mean, mean - half, mean + half)


def _read_next(state: State, built: TensionProgram) -> tuple[float, float]:
    """Place between readings with the largest expected squared miss, both directions together."""
    grid = built.places[built.read :]
    miss = (state.tension(grid) - built.aim.target_n_per_cm) ** 2 + state.tension_sd(grid) ** 2
    u, v = grid[int(np.argmax(miss.sum(axis=1).round(6)))]
    return float(u), float(v)


def _rounds(built: TensionProgram) -> int:
    """Rounds to target if only the turn limits stood in the way."""
    program = built.program
    wide = np.full(len(program.f), 50.0)
    free = replace(
        program,
        low=-wide,
        high=wide,
        a=program.a[:0],
        row_low=program.row_low[:0],
        row_high=program.row_high[:0],
    )
    answer = solve(free)
    if not answer.ok:
        return 1
    up, down = max(answer.x.max(), 0), max(-answer.x.min(), 0)
    caution = built.state.caution
    loosen = built.limits.loosen_turns * caution
    share = max(up / (built.limits.turns * caution), down / loosen if loosen else 0)
    return math.ceil(share - 0.1)


def _message(built: TensionProgram, reaches: bool, rounds: int) -> str:
    parts, stuck = [], _stuck(built)
    if reaches:
        parts.append(say("This round should bring every reading into tolerance."))
    elif stuck:
        parts.append(say("These bolts cannot bring every reading into tolerance."))
    else:
        parts.append(say("One round is not enough: about {0} to go, this one included.", rounds))
    for axis, word in enumerate((say("along A"), say("across A"))):
        if not built.known[axis]:
            parts.append(say("No readings {0}: the bolts that pull that way stay.", word))
        elif axis in stuck:
            parts.append(say("No bolt that pulls {0} can be turned: that tension stays.", word))
    if built.state.surprise and built.state.surprise.message:
        parts.append(built.state.surprise.message)
    if not built.state.trusted:
        parts.append(
            say(
                "The count of turns is not trusted: measure the bars' stand-out, or go in "
                "small turns."
            )
        )
    return " ".join(parts)


def _stuck(built: TensionProgram) -> set[int]:
    """Directions in which no bolt can be turned."""
    sides = {n[0] for n in np.array(built.state.layout.names)[built.moving]}
    return {0, 1} - {OUTWARD[side][1] for side in sides}


def _active(built: TensionProgram, answer: Solution) -> tuple[str, ...]:
    """Limits that shaped the plan, in words."""
    names = np.array(built.state.layout.names)[built.moving]
    out = []
    caution = built.state.caution
    for sign, held_by, limit in (
        (1, mark("At most {0} tightened per round: {1}."), built.limits.turns),
        (-1, mark("At most {0} loosened per round: {1}."), built.limits.loosen_turns),
    ):
        held = [str(n) for n, b in zip(names, answer.bound_active, strict=True) if b == sign]
        if held:
            out.append(say(held_by, say_turns(limit * caution), ", ".join(held)))
    pairs = len(built.pairs)
    close = [f"{a}-{b}" for (a, b), r in zip(built.pairs, answer.row_active, strict=False) if r]
    if close:
        most = say_turns(built.limits.neighbour_turns)
        out.append(say("Neighbours may differ by {0}: {1}.", most, ", ".join(close)))
    if np.any(answer.row_active[pairs:]):
        out.append(
            say(
                "The mesh's highest tension, {0} N/cm, is near.",
                written(built.limits.cap_n_per_cm, "g"),
            )
        )
    if caution < 1:
        out.append(say("The readings are not what was expected: smaller turns this time."))
    still = built.limits.why_still(built.state.layout)
    for why in dict.fromkeys(still.values()):
        out.append(f"{', '.join(n for n in still if still[n] == why)}: {why}.")
    return tuple(out)
