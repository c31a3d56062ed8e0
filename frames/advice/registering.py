"""What to do about marks that printed off: leave it, the press, the bolts, or none of these."""

from collections.abc import Sequence

import numpy as np

from frames.advice.answers import (
    answers,
    arrows,
    believed,
    foretold,
    last_spots,
    payload,
    thousandth,
    turned,
    with_readings,
)
from frames.advice.setup import WITHOUT_STENCIL_MM, Json, Setup
from frames.advice.tensioning import STENCIL_ON
from frames.mechanics import (
    Adjustment,
    Decomposition,
    Mark,
    RegisterAim,
    RegisterAnswer,
    RegisterPlan,
    State,
    plan_register,
)
from frames.mechanics import answer as decide
from frames.mechanics import what_if as foresee
from frames.mechanics.cautions import cautions
from frames.mechanics.decomposition import NAMES, WORDS
from frames.mechanics.views import centred_mm
from frames.wording import mark, say

KINDS = {"leave": "leave_alone", "press": "press", "bolts": "bolts", "cannot": "bolts_cannot"}
DEFAULT_TOLERANCE_MM = 0.1
LEAST_MOVE_MM = 0.01
FACTOR_RANGE = (0.1, 3.0)
GRID = 5
OUT = mark("The screen must come out to reach all bolts; register will be lost.")


@answers
def register(request: Json) -> Json:
    setup = Setup(request)
    state = with_readings(setup, believed(setup)).state
    pulls = [_marks(pull) for pull in request.get("pulls") or []]
    aim = _aim(setup)
    found = decide(
        state,
        pulls,
        aim,
        setup.limits,
        setup.adjusters,
        setup.view,
        _marks(request.get("key_marks") or []),
        request.get("eye") or "loupe",
    )
    return _told(setup, state, found, _chosen(setup, state, found, aim), aim)


def _marks(rows: Sequence[Json]) -> list[Mark]:
    return [Mark(r["u"], r["v"], r["dx_mm"], r["dy_mm"]) for r in rows]


def _aim(setup: Setup) -> RegisterAim:
    """The job's tolerance, the screen's band, and what a stencil allows."""
    shop = setup.request.get("shop") or {}
    move = WITHOUT_STENCIL_MM
    if setup.is_coated:
        move = max(shop.get("stencil_move_limit_mm", 0.5), LEAST_MOVE_MM)
    aim = setup.aim
    return RegisterAim(
        tolerance_mm=setup.request.get("tolerance_mm") or DEFAULT_TOLERANCE_MM,
        band_n_per_cm=(
            aim.target_n_per_cm - aim.tolerance_n_per_cm,
            aim.target_n_per_cm + aim.tolerance_n_per_cm,
        ),
        move_mm=move,
        factor=_factor(setup),
    )


def _factor(setup: Setup) -> float:
    """How much of the movement predicted this frame was seen to make."""
    factors = (setup.request.get("estimate") or {}).get("factors")
    if not factors:
        return 1.0
    mean = factors["coated" if setup.is_coated else "bare"]["register"]["mean"]
    return float(np.clip(mean, *FACTOR_RANGE))


def _chosen(
    setup: Setup, state: State, found: RegisterAnswer, aim: RegisterAim
) -> RegisterPlan | None:
    """The plan that goes with the answer, or the point of its curve that was asked for."""
    wanted = setup.request.get("bolts_wanted")
    if found.kind != "bolts" or not wanted:
        return found.plan
    return plan_register(state, left_over(found), aim, setup.limits, wanted)


def left_over(found: RegisterAnswer) -> Sequence[Mark]:
    """The marks that the bolts are to mend."""
    return found.adjustment.rest if found.adjustment else found.marks


def _told(
    setup: Setup,
    state: State,
    found: RegisterAnswer,
    plan: RegisterPlan | None,
    aim: RegisterAim,
) -> Json:
    kind = KINDS[found.kind]
    turns = plan.turns_48ths if plan and kind == "bolts" else {}
    marks = found.marks
    spots = last_spots(setup)
    effect = _Effect(setup, state, found.adjustment if kind != "leave_alone" else None, turns, aim)
    at = [(m.u, m.v) for m in marks]
    moves = effect.moved(at)
    image = [(u, v) for v in np.linspace(0.1, 0.9, GRID) for u in np.linspace(0.1, 0.9, GRID)]
    rest = [(m.dx_mm, m.dy_mm) for m in marks] + moves
    answer = {
        "answer": kind,
        "message": _message(setup, found, plan),
        "verdict": {
            "word": found.significance.verdict,
            "rms_mm": thousandth(found.significance.rms_mm),
            "chance": round(found.significance.chance, 6),
        },
        "parts": parts(found.decomposition),
        "sheet": parts(found.sheet) if found.sheet else None,
        "marks": arrows(at, np.array([(m.dx_mm, m.dy_mm) for m in marks]).reshape(-1, 2)),
        "arrows": arrows(at, moves),
        "image": arrows(image, effect.moved(image)),
        "after": arrows(at, rest),
        "press": _press(setup, found.adjustment),
        "bolts": turned(turns, setup.layout.names),
        "predicted": effect.predicted([(s["u"], s["v"]) for s in spots]),
        "loose": effect.loose,
        "trusted": state.trusted,
        "cost_n_per_cm": None if found.cost_n_per_cm is None else thousandth(found.cost_n_per_cm),
        "cautions": [*((say(STENCIL_ON),) if setup.is_coated else ()), *cautions(setup.where)],
    } | _of_plan(plan)
    return answer | {"payload": payload(setup, "register", kind, answer)}


def _message(setup: Setup, found: RegisterAnswer, plan: RegisterPlan | None) -> str:
    said = found.message
    if plan is not None and plan is not found.plan:
        said = plan.message
    if found.kind == "cannot" and setup.hidden:
        said = f"{said} {say(OUT)}"
    return said


def _of_plan(plan: RegisterPlan | None) -> Json:
    if plan is None:
        empty = {"curve": [], "before_mm": None, "after_mm": None, "tension_change": None}
        return empty | {"limits": []}
    low, high = plan.tension_change
    return {
        "curve": [
            {
                "bolts": point.bolts,
                "marks_mm": thousandth(point.marks_mm),
                "image_mm": thousandth(point.image_mm),
            }
            for point in plan.curve
        ],
        "before_mm": thousandth(plan.before_mm),
        "after_mm": thousandth(plan.after_mm),
        "tension_change": {"low": thousandth(low), "high": thousandth(high)},
        "limits": list(plan.active),
    }


def parts(found: Decomposition) -> list[Json]:
    """Shift, twist, long or short, out of square; `known` where the marks can tell."""
    return [
        {
            "name": name,
            "word": WORDS[name],
            "value": thousandth(value),
            "sd": thousandth(sd),
            "unit": "mm" if name.startswith("shift") else "mm_per_m",
            "known": name not in found.cannot_tell,
        }
        for name, value, sd in zip(NAMES, found.values, found.sd, strict=True)
    ]


def _press(setup: Setup, adjustment: Adjustment | None) -> Json | None:
    if adjustment is None:
        return None
    known = {a.name: a for a in setup.adjusters}
    return {
        "steps": list(adjustment.steps),
        "limited": list(adjustment.limited),
        "adjusters": [
            {
                "name": name,
                "divisions": thousandth(abs(divisions)),
                "unit": known[name].division,
                "way": known[name].plus if divisions > 0 else known[name].minus,
            }
            for name, divisions in adjustment.divisions.items()
            if divisions
        ],
    }


class _Effect:
    """What press and bolts together do to the image and to the readings."""

    def __init__(
        self,
        setup: Setup,
        state: State,
        adjustment: Adjustment | None,
        turns: dict[str, int],
        aim: RegisterAim,
    ) -> None:
        self.setup, self.state, self.turns, self.aim = setup, state, turns, aim
        self.adjustment = adjustment
        self.loose = list(foresee(state, turns, [(0.5, 0.5)], setup.limits).loose) if turns else []

    def moved(self, places: Sequence) -> np.ndarray:
        """(n, 2) mm at places."""
        out = np.zeros((len(places), 2))
        if self.adjustment:
            x, y = (centred_mm(self.setup.layout, places) / 1000).T
            twist = self.adjustment.rotation_mrad
            out += self.adjustment.shift_mm + twist * np.stack([-y, x], axis=1)
        if self.turns:
            seen = foresee(self.state, self.turns, places, self.setup.limits)
            out += self.aim.factor * seen.moved_mm
        return out

    def predicted(self, places: Sequence) -> list[Json]:
        if not self.turns or not places:
            return []
        seen = foresee(self.state, self.turns, places, self.setup.limits)
        return foretold(places, seen.low, seen.tension, seen.high)
