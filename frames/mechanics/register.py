"""What to do about a register error: leave it, the press, the bolts, or none of these."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from frames.wording import say, written

from .adjusters import Adjuster, Adjustment, adjust
from .decomposition import Decomposition, affine_rows, decompose
from .faults import InputFault
from .limits import Limits
from .marks import Mark, Significance, scatter, significance
from .register_plan import RegisterPlan, plan_register
from .register_program import RegisterAim
from .state import State
from .views import View

ENOUGH = 0.5  # bolts that leave more than this share of the error are not the answer
STRETCHES = np.array([0, 0, 0, 1, 1, 1], float)  # what a sheet does and a lay does not


@dataclass(frozen=True)
class RegisterAnswer:
    """Answer of `answer`.

    ``kind`` is ``"leave"``, ``"press"``, ``"bolts"`` or ``"cannot"``; ``message`` says why and
    what to do; ``significance`` and ``decomposition`` of the marks; ``adjustment`` of the press and
    ``plan`` of the bolts where there is one (a ``"cannot"`` keeps the plan it refuses);
    ``sheet`` what the key colour says the sheet did; ``cost_n_per_cm`` tension the bolts would take
    if nothing limited them; ``marks`` the means of the pulls, the sheet's growth taken out.
    """

    kind: str
    message: str
    significance: Significance
    decomposition: Decomposition
    adjustment: Adjustment | None = None
    plan: RegisterPlan | None = None
    sheet: Decomposition | None = None
    cost_n_per_cm: float | None = None
    marks: tuple[Mark, ...] = ()


def answer(
    state: State,
    pulls: Sequence[Sequence[Mark]],
    aim: RegisterAim,
    limits: Limits,
    adjusters: Sequence[Adjuster] = (),
    view: View | None = None,
    key_marks: Sequence[Mark] = (),
    eye: str = "loupe",
) -> RegisterAnswer:
    """One of four answers, tried in this order: leave alone, press, bolts, bolts cannot.

    Parameters
    ----------
    state : the screen
    pulls : marks of each pull, the same places in the same order
    aim, limits : see there
    adjusters, view : the press's own adjusters, and how the frame lies on it
    key_marks : the key colour's own marks against film or OK sheet: what they show is the sheet's
    eye : ``"loupe"`` or ``"naked"``

    >>> from .cloth import Mesh
    >>> from .layout import Layout
    >>> from .state import begin
    >>> from .strip import Strip
    >>> s = begin(Strip(Layout.evenly(1000, 1000, 4, 4), Mesh(1000, 1000)))
    >>> answer(s, [[Mark(0.2, 0.5, 0.02, 0.0)]], RegisterAim(), Limits()).kind
    'leave'
    """
    if eye not in ("loupe", "naked"):
        raise InputFault("eye", eye, say("Say whether you look with a loupe or the naked eye."))
    taken = scatter(pulls)
    marks, sheet = _without_sheet(state, taken.marks, key_marks)
    real = significance(replace(taken, marks=marks), aim.tolerance_mm, eye)
    parts = decompose(state.layout, marks)
    if real.verdict != "real":
        return replace(_leave(real, parts, sheet, taken.marks, aim), marks=marks)
    adjustment, rest = None, marks
    if adjusters:
        adjustment = adjust(state.layout, marks, adjusters, view)
        rest = adjustment.rest
        left = significance(replace(taken, marks=rest), aim.tolerance_mm, eye)
        if left.verdict != "real":
            text = " ".join([say("The press can take it."), *adjustment.steps])
            return RegisterAnswer("press", text, real, parts, adjustment, sheet=sheet, marks=marks)
    plan = plan_register(state, rest, aim, limits)
    found = RegisterAnswer("bolts", "", real, parts, adjustment, plan, sheet, marks=marks)
    helps = plan.status == "optimal" and (
        plan.after_mm <= max(aim.tolerance_mm, ENOUGH * plan.before_mm)
    )
    if helps:
        return replace(found, message=_say_bolts(plan, adjustment, aim, parts))
    return _cannot(found, state, rest, aim, limits)


def _without_sheet(
    state: State, marks: Sequence[Mark], key_marks: Sequence[Mark]
) -> tuple[tuple[Mark, ...], Decomposition | None]:
    """Marks with the sheet's own growth taken out, and that growth."""
    if len(key_marks) < 2:
        return tuple(marks), None
    sheet = decompose(state.layout, key_marks)
    at = affine_rows(state.layout, [(m.u, m.v) for m in marks])
    grown = (at @ (sheet.values * STRETCHES)).reshape(2, -1).T
    out = tuple(
        replace(m, dx_mm=float(m.dx_mm - dx), dy_mm=float(m.dy_mm - dy))
        for m, (dx, dy) in zip(marks, grown, strict=True)
    )
    return out, sheet


def _leave(
    real: Significance,
    parts: Decomposition,
    sheet: Decomposition | None,
    raw: Sequence[Mark],
    aim: RegisterAim,
) -> RegisterAnswer:
    worst = max(max(abs(m.dx_mm), abs(m.dy_mm)) for m in raw)
    if sheet is not None and real.verdict == "small" and worst > aim.tolerance_mm:
        text = say(
            "The sheet moved, not the mesh: {0} on the key colour itself. Let the stock "
            "come to the room's air, print dry passes alike, or remake the films.",
            _grown(sheet),
        )
        return RegisterAnswer("cannot", text, real, parts, sheet=sheet)
    return RegisterAnswer("leave", real.message, real, parts, sheet=sheet)


def _grown(sheet: Decomposition) -> str:
    x, y = sheet.part("stretch_x"), sheet.part("stretch_y")
    return say("{0} mm per m along A and {1} across", written(x, "+z.2f"), written(y, "+z.2f"))


def _say_bolts(
    plan: RegisterPlan,
    adjustment: Adjustment | None,
    aim: RegisterAim,
    parts: Decomposition,
) -> str:
    said = [say("First the press: {0}", " ".join(adjustment.steps))] if _moves(adjustment) else []
    said.append(say("Then the bolts: {0}", plan.message) if said else plan.message)
    if plan.after_mm > aim.tolerance_mm:
        said.append(
            say(
                "That still leaves more than {0} mm: pull and ask again.",
                written(aim.tolerance_mm, "g"),
            )
        )
    return " ".join([*said, *filter(None, [parts.message])])


def _moves(adjustment: Adjustment | None) -> bool:
    return adjustment is not None and bool(adjustment.steps)


def _cannot(
    found: RegisterAnswer,
    state: State,
    rest: Sequence[Mark],
    aim: RegisterAim,
    limits: Limits,
) -> RegisterAnswer:
    """Say how much is left, what the bolts would have cost, and what to do instead."""
    free = replace(aim, tension_change_n_per_cm=30.0, band_n_per_cm=None)
    without = plan_register(state, rest, free, limits)
    cost = max(map(abs, without.tension_change))
    parts = decompose(state.layout, rest)
    said = [say("Bolts cannot mend this: {0}.", _grown(parts))]
    if without.status == "optimal" and cost > aim.tension_change_n_per_cm:
        said.append(say("It would take {0} N/cm of tension.", written(cost, ".0f")))
    else:
        said.append(found.plan.message if found.plan else "")
    said.append(say("Correct the film by that much, or look to the sheet."))
    if _moves(found.adjustment):
        said.insert(0, say("The press takes a part: {0}", " ".join(found.adjustment.steps)))
    return replace(found, kind="cannot", message=" ".join(filter(None, said)), cost_n_per_cm=cost)
