"""How often a reading falls into the 90 % band that the plan before it announced.

python -m tests.mechanics.trial_bands [screens per layout]
"""

import sys
from collections.abc import Mapping, Sequence

import numpy as np

from tests.mechanics.closed_loop import run
from tests.mechanics.our_planner import full_plan
from tests.mechanics.plant import LAYOUTS


class Announcer:
    """A planner that remembers its last announcement and checks it against the next readings."""

    def __init__(self) -> None:
        self.bands: dict = {}
        self.hits: list[bool] = []

    def plan(
        self, brief: object, log: Sequence[object], readings: Sequence[object]
    ) -> Mapping[str, int]:
        if not log:
            self.bands = {}
        for r in readings:
            self.check(self.bands.get((r.u, r.v)), (r.along_a_n_per_cm, r.across_a_n_per_cm))
        plan = full_plan(brief, log, readings)
        p = plan.predicted
        moved = plan.status in ("reaches", "towards")
        rows = zip(p.places.tolist(), p.low, p.high, strict=True) if moved else ()
        self.bands = {tuple(at): (low, high) for at, low, high in rows}
        return plan.turns_48ths

    def check(self, band: tuple | None, seen: tuple[float, float]) -> None:
        if band is not None:
            self.hits.extend(np.less_equal(band[0], seen) & np.less_equal(seen, band[1]))


def coverage(
    per_layout: int, layouts: Sequence = LAYOUTS, first_seed: int = 0
) -> tuple[float, int]:
    """Share of readings inside their band, and how many there were."""
    announcer = Announcer()
    run(announcer.plan, range(first_seed, first_seed + per_layout), layouts, rounds=4)
    return float(np.mean(announcer.hits)), len(announcer.hits)


if __name__ == "__main__":
    share, count = coverage(int(sys.argv[1]) if len(sys.argv) > 1 else 10)
    print(f"{share:.1%} of {count} readings inside their 90 % band")
