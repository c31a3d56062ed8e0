"""Register marks that are off by nothing but the scatter of their pulls: no bolts may be advised.

    python -m tests.mechanics.trial_false_alarms [cases]

Every case draws its frame, two to six marks, one to five pulls, a scatter of 0.02 to 0.4 mm, a
tolerance and whether the press has adjusters. With one pull the scatter is the 0.05 mm that marks
are measured to, for a single pull shows none of its own.
"""

import sys
from collections import Counter

import numpy as np

from frames.mechanics import Adjuster, Limits, Mark, Mesh, RegisterAim, Strip, answer, begin
from tests.mechanics.layouts import all_five

PLACES = [(0.2, 0.2), (0.8, 0.8), (0.8, 0.2), (0.2, 0.8), (0.5, 0.2), (0.5, 0.8)]
PRESS = (
    Adjuster("left", 0.1, 0.0, "away", 0.05, smallest=0.1),
    Adjuster("right", 0.9, 0.0, "away", 0.05, smallest=0.1),
    Adjuster("side", 0.0, 0.5, "right", 0.05, smallest=0.1),
)
SCREENS = [begin(Strip(frame, Mesh(1090, 1090))) for frame in all_five()]
MEASURED_MM = 0.05


def kind(seed: int) -> str:
    """What is answered to one such case."""
    r = np.random.default_rng([seed, 31])
    marks, pulls = int(r.integers(2, 7)), int(r.choice([1, 3, 4, 5]))
    sd = MEASURED_MM if pulls == 1 else float(r.uniform(0.02, 0.4))
    seen = r.normal(0, sd, (pulls, marks, 2))
    taken = [
        [Mark(*at, *map(float, off), MEASURED_MM) for at, off in zip(PLACES, pull, strict=False)]
        for pull in seen
    ]
    aim = RegisterAim(tolerance_mm=float(r.choice([0.05, 0.1, 0.2])))
    press = PRESS if r.random() < 0.5 else ()
    return answer(SCREENS[r.integers(5)], taken, aim, Limits(), press).kind


def kinds(cases: int) -> Counter[str]:
    return Counter(kind(seed) for seed in range(cases))


if __name__ == "__main__":
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 1000
    for name, times in kinds(count).most_common():
        print(f"{name}: {times} of {count}")
