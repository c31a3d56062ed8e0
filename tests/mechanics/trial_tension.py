"""Turn plans and the hand rule on the same screens of the independent plant.

    python -m tests.mechanics.trial_tension [case] [screens per layout] [who ...]

Cases: nine, five, one (reading places); seized, seized2, hidden (nine places, bolts that do not
turn); rough (nine places, two seized bolts, slack twice as uneven); smooth (nine places, slack that
changes slowly only); all. Who: ours (the plans alone), told (the operator also reads where the plan
before said to read next), everywhere (49 readings more: what reading cannot mend), hand; without it
ours, told and hand. The full trial is `all 40`: 200 screens each, two to four minutes a row.

Nine readings, 200 screens, rounds 1 to 5, worst miss, N/cm, median. At the 49 places between:
told 1.78 1.54 1.50 1.41 1.39, ours 2.05 1.84 1.87 1.79 1.86, hand 2.21 1.99 1.91 1.90 1.93; at the
readings 0.82 0.60 0.61 0.56 0.57, 0.86 0.57 0.57 0.53 0.50 and 1.22 0.82 0.69 0.64 0.63. More, with
90th percentiles and the other cases, in DEVELOPERS.md.
"""

import sys
from collections.abc import Sequence

from tests.mechanics import hand_rule
from tests.mechanics.closed_loop import AlsoRead, Plan, Scores, beside, inner, nowhere
from tests.mechanics.our_planner import Operator

CASES = {
    "nine": {"places": "nine"},
    "five": {"places": "five"},
    "one": {"places": "one"},
    "seized": {"trouble": "seized"},
    "seized2": {"trouble": "seized2"},
    "hidden": {"trouble": "hidden"},
    "rough": {"trouble": "seized2", "unevenness": 0.3},
    "smooth": {"rough": 0.0},
}
WHO = ("ours", "told", "hand")


def player(who: str) -> tuple[Plan, AlsoRead]:
    """How somebody plans, and what they read besides the usual places."""
    operator = Operator()
    return {
        "ours": (operator.plan, nowhere),
        "told": (operator.plan, operator.told),
        "everywhere": (operator.plan, lambda brief, log: inner(brief.layout)),
        "hand": (hand_rule.plan, nowhere),
    }[who]


def tried(case: str, per_layout: int, who: str, rounds: int = 5, first_seed: int = 0) -> Scores:
    """Scores of one way of planning in one case."""
    return all_tried(case, per_layout, [who], rounds, first_seed)[0]


def all_tried(
    case: str, per_layout: int, whos: Sequence[str], rounds: int = 5, first_seed: int = 0
) -> list[Scores]:
    """Scores of several on the same screens."""
    players = {f"{who}, {case}": player(who) for who in whos}
    seeds = range(first_seed, first_seed + per_layout)
    return beside(players, seeds, rounds=rounds, **CASES[case])


def main(case: str = "nine", per_layout: str = "40", *whos: str) -> None:
    for one in CASES if case == "all" else [case]:
        for scores in all_tried(one, int(per_layout), whos or WHO):
            print(scores.table(), flush=True)


if __name__ == "__main__":
    main(*sys.argv[1:])
