"""Which bolts to turn for register: the least miss with as few bolts as the bars allow."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from frames.wording import mark, say, say_many, written

from .bolts import PER_TURN
from .layout import SIDES
from .limits import Limits, say_turns
from .marks import Mark
from .quadratic import Solution, solve
from .register_program import RegisterAim, RegisterProgram
from .rounding import round_to_steps
from .state import State, move

WORSE = 1.10  # a side or bolt is dropped while the miss stays below this times the best ...
SLACK_MM = 0.01  # ... plus this
DIGITS = 6  # of a turn: less apart counts as equal, so that ties fall to the lower number


@dataclass(frozen=True)
class CurvePoint:
    """``bolts`` moved, rms miss at the ``marks_mm`` and over the ``image_mm``, before rounding."""

    bolts: int
    marks_mm: float
    image_mm: float


@dataclass(frozen=True)
class RegisterPlan:
    """Answer of `plan_register`.

    ``turns_48ths`` bolt -> 48ths; ``status`` ``"optimal"``, ``"nothing"`` or ``"blocked"``;
    ``active`` limits in words; ``before_mm``, ``after_mm`` rms miss at the marks;
    ``image_after_mm`` expected rms over the image; ``arrows_mm`` (marks, 2) how marks will move;
    ``tension_change`` (low, high) N/cm over the image; ``loose`` bolts to nip up afterwards;
    ``curve`` miss against bolts moved, most bolts first.
    """

    turns_48ths: dict[str, int]
    status: str
    message: str
    active: tuple[str, ...] = ()
    before_mm: float = 0.0
    after_mm: float = 0.0
    image_after_mm: float = 0.0
    arrows_mm: np.ndarray | None = None
    tension_change: tuple[float, float] = (0.0, 0.0)
    loose: tuple[str, ...] = ()
    curve: tuple[CurvePoint, ...] = ()


def plan_register(
    state: State, marks: Sequence[Mark], aim: RegisterAim, limits: Limits, bolts: int | None = None
) -> RegisterPlan:
    """Turns that bring the marks, and the image between them, closest to where they should be.

    Least squares on the marks and on the error expected between them, plus bar waviness and
    effort, within the limits of turns, tension and movement; then whole sides are dropped, then
    bolts, while the miss hardly grows; then turns are rounded to the shop's step.

    Parameters
    ----------
    state : the screen, see `state.State`
    marks : mean marks, after what the press itself takes
    aim, limits : see there
    bolts : move this many bolts instead (a point of the curve)

    >>> from .cloth import Mesh
    >>> from .layout import Layout
    >>> from .state import begin
    >>> from .strip import Strip
    >>> s = begin(Strip(Layout.evenly(1000, 1000, 4, 4), Mesh(1000, 1000)))
    >>> plan = plan_register(
    ...     s, [Mark(0.15, 0.5, 0.3, 0), Mark(0.85, 0.5, -0.3, 0)], RegisterAim(), Limits())
    >>> sorted({name[0] for name in plan.turns_48ths}), min(plan.turns_48ths.values()) > 0
    (['B', 'D'], True)
    """
    built = RegisterProgram(state, aim, limits, tuple(marks))
    allowed = limits.moving(state.layout)
    if not allowed.any():
        return RegisterPlan(
            {}, "blocked", say("No bolt can be turned: all are hidden, seized or broken.")
        )
    first = _try(built, allowed)
    if not first.ok:
        return RegisterPlan(
            {}, "blocked", say("No turns satisfy all limits at once: widen one of them.")
        )
    steps = _thin_out(built, allowed, first)
    chosen = _choose(built, steps, bolts)
    curve = tuple(CurvePoint(int(m.sum()), *_miss(built, m, s)) for m, s in steps)
    return _finish(built, *chosen, curve)


def _try(built: RegisterProgram, moving: np.ndarray) -> Solution:
    return solve(built.program(moving))


def _turns(moving: np.ndarray, x: np.ndarray) -> np.ndarray:
    out = np.zeros(len(moving))
    out[moving] = x
    return out


def _miss(built: RegisterProgram, moving: np.ndarray, s: Solution) -> tuple[float, float]:
    return built.rms(built.per_turn @ _turns(moving, s.x))


def _score(built: RegisterProgram, moving: np.ndarray, s: Solution) -> float:
    """Combined rms of marks and image, mm."""
    at_marks, image = _miss(built, moving, s)
    between = built.aim.between
    return float(np.sqrt((at_marks**2 + between * image**2) / (1 + between)))


def _thin_out(
    built: RegisterProgram, allowed: np.ndarray, first: Solution
) -> list[tuple[np.ndarray, Solution]]:
    """Trials with fewer and fewer bolts: sides the error does not need, then the idlest bolts."""
    names = built.state.layout.names
    best = _score(built, allowed, first)
    moving, solution = allowed, first
    steps = [(moving, solution)]
    for side in sorted(SIDES, key=lambda s: _side_effort(names, moving, first, s)):
        fewer = moving & np.array([n[0] != side for n in names])
        if fewer.any() and fewer.sum() < moving.sum():
            trial = _try(built, fewer)
            if trial.ok and _score(built, fewer, trial) <= WORSE * best + SLACK_MM:
                moving, solution = fewer, trial
                steps.append((moving, solution))
    while moving.sum() > 1:
        size = np.where(moving, np.abs(_turns(moving, solution.x)), np.inf)
        count = max(1, int(moving.sum()) // 12)
        idle = np.argsort(size.round(DIGITS), kind="stable")[:count]
        moving = moving.copy()
        moving[idle] = False
        solution = _try(built, moving)
        if not solution.ok:
            break
        steps.append((moving, solution))
    return steps


def _side_effort(names: Sequence[str], moving: np.ndarray, s: Solution, side: str) -> float:
    turns = _turns(moving, s.x)
    effort = sum(abs(t) for n, t in zip(names, turns, strict=True) if n[0] == side)
    return round(float(effort), DIGITS)


def _choose(
    built: RegisterProgram, steps: list[tuple[np.ndarray, Solution]], bolts: int | None
) -> tuple[np.ndarray, Solution]:
    """The fewest bolts that miss hardly more than all of them, or as many as asked for."""
    if bolts is not None:
        return min(steps, key=lambda step: abs(int(step[0].sum()) - bolts))
    best = min(_score(built, *step) for step in steps)
    good = [step for step in steps if _score(built, *step) <= WORSE * best + SLACK_MM]
    return min(good, key=lambda step: int(step[0].sum()))


def _finish(
    built: RegisterProgram,
    moving: np.ndarray,
    solution: Solution,
    curve: tuple[CurvePoint, ...],
) -> RegisterPlan:
    state, limits, layout = built.state, built.limits, built.state.layout
    x = round_to_steps(built.program(moving), state.bolt.step_turns, solution)
    if x is None:
        return RegisterPlan(
            {}, "blocked", say("No whole steps satisfy all limits: choose a finer step.")
        )
    turns = _turns(moving, x)
    rest = move(state, turns, limits.turnable(layout), limits.is_broken(layout))
    moved = built.per_turn @ turns
    before, (after, image) = built.rms(np.zeros(layout.count))[0], built.rms(moved)
    if not turns.any() or after > 0.97 * before:
        text = say("No turn of these bolts brings the marks closer.")
        return RegisterPlan({}, "nothing", text, (), before, before, image, curve=curve)
    change = state.influence(layout.grid(built.aim.grid)) @ moved
    return RegisterPlan(
        {n: round(t * PER_TURN) for n, t in zip(layout.names, turns, strict=True) if t},
        "optimal",
        say_many(
            "{0} bolt: from {1} to about {2} mm at the marks.",
            "{0} bolts: from {1} to about {2} mm at the marks.",
            int(np.count_nonzero(turns)),
            written(before, ".2f"),
            written(after, ".2f"),
        ),
        _active(built, moving, solution),
        before,
        after,
        image,
        (built.displacement @ moved)[: len(built.marks)],
        (float(change.min()), float(change.max())),
        rest.loose,
        curve,
    )


def _active(built: RegisterProgram, moving: np.ndarray, s: Solution) -> tuple[str, ...]:
    """Limits that shaped the plan, in words."""
    out = []
    names = np.array(built.state.layout.names)[moving]
    for sign, held_by, limit in (
        (1, mark("At most {0} tightened: {1}."), built.limits.turns),
        (-1, mark("At most {0} loosened: {1}."), built.limits.loosen_turns),
    ):
        held = [str(n) for n, b in zip(names, s.bound_active, strict=True) if b == sign]
        if held:
            out.append(say(held_by, say_turns(limit), ", ".join(held)))
    counts = _row_counts(built, moving)
    active = np.split(s.row_active != 0, np.cumsum(counts)[:-1])
    words = (
        say("Neighbours may differ by {0}.", say_turns(built.limits.neighbour_turns)),
        say(
            "Tension may change by {0} N/cm and stay in its band.",
            written(built.aim.tension_change_n_per_cm, "g"),
        ),
        say("With a stencil on the image may move by {0} mm.", written(built.aim.move_mm, "g")),
    )
    out.extend(word for word, rows in zip(words, active, strict=True) if rows.any())
    still = built.limits.why_still(built.state.layout)
    out.extend(
        f"{', '.join(n for n in still if still[n] == why)}: {why}."
        for why in dict.fromkeys(still.values())
    )
    return tuple(out)


def _row_counts(built: RegisterProgram, moving: np.ndarray) -> list[int]:
    """Rows kept of each kind: neighbours, tension, movement."""
    a = built.full[2]
    matter = np.abs(a[:, moving]).sum(axis=1) > 0
    image = 2 * built.aim.grid**2
    kinds = np.split(matter, [len(a) - 2 * image, len(a) - image])
    return [int(k.sum()) for k in kinds]
