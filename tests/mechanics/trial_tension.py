"""Turn plans and the hand rule on the same screens of the independent plant.

    python -m tests.mechanics.trial_tension [case] [screens per layout] [ours|hand]

Cases: nine, five, one (reading places); seized, seized2, hidden (nine places, bolts that do not
turn); rough (nine places, two seized bolts, slack twice as uneven); all. Without the last word both
are run. The full trial is `nine 40`: 200 screens each.
"""

import sys

from tests.mechanics import hand_rule, our_planner
from tests.mechanics.closed_loop import Scores, run

CASES = {
    "nine": {"places": "nine"},
    "five": {"places": "five"},
    "one": {"places": "one"},
    "seized": {"trouble": "seized"},
    "seized2": {"trouble": "seized2"},
    "hidden": {"trouble": "hidden"},
    "rough": {"trouble": "seized2", "unevenness": 0.3},
}
PLANNERS = {"ours": our_planner.plan, "hand": hand_rule.plan}


def tried(case: str, per_layout: int, who: str, rounds: int = 5) -> Scores:
    """Scores of one planner in one case."""
    name = f"{who}, {case}"
    return run(PLANNERS[who], range(per_layout), name=name, rounds=rounds, **CASES[case])


def main(case: str = "nine", per_layout: str = "40", who: str = "") -> None:
    for one in CASES if case == "all" else [case]:
        for name in [who] if who else PLANNERS:
            print(tried(one, int(per_layout), name).table(), flush=True)


if __name__ == "__main__":
    main(*sys.argv[1:])
