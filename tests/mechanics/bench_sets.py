"""Prints how long the best set of twelve colours out of five hundred screens takes.

python -m tests.mechanics.bench_sets
"""

import time

import numpy as np

from frames.mechanics import Candidate, Wanted, choose, match

MESHES = ("43-80", "61-64", "90-48", "120-34")


def rack(count: int, seed: int = 0) -> list[Candidate]:
    """Bare screens of four meshes, two sizes, up to five retensions."""
    r = np.random.default_rng(seed)
    return [
        Candidate(
            f"F{i}",
            str(r.choice(MESHES)),
            str(r.choice(["small", "large"])),
            float(r.normal(-0.5, 1.5)),
            int(r.integers(0, 6)),
            bool(r.random() < 0.2),
        )
        for i in range(count)
    ]


def main() -> None:
    """Times of the matching alone and of all that is said about a set."""
    screens, r = rack(500), np.random.default_rng(1)
    wanted = [Wanted(f"c{i}", str(r.choice(MESHES))) for i in range(12)]
    fits = {w.colour: [s.screen for s in screens if s.mesh == w.mesh] for w in wanted}
    deviation = {s.screen: s.deviation_n_per_cm for s in screens}
    match(fits, deviation)  # scipy is loaded once
    start = time.perf_counter()
    best = match(fits, deviation)
    between = time.perf_counter()
    choose(wanted, screens)
    end = time.perf_counter()
    print(
        f"12 colours from 500 screens: spread {best.spread_n_per_cm:.2f} N/cm; "
        f"matching {1000 * (between - start):.0f} ms, with runner-up, reasons and what to "
        f"retension {1000 * (end - between):.0f} ms"
    )


if __name__ == "__main__":
    main()
