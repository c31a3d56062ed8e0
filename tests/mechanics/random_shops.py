"""Small random shops, and the best sets in them found by trying everything."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations, permutations

import numpy as np

from frames.mechanics.set_choice import SPAN, Candidate, Wanted

MESHES, SIZES = ("43-80", "90-48"), ("small", "large")


def random_shop(r: np.random.Generator) -> tuple[list[Wanted], list[Candidate]]:
    """Two to four colours and up to eight screens: stencils, counts, sizes, a burst one."""
    count = int(r.integers(3, 9))
    screens = [
        Candidate(
            f"F{i}",
            str(r.choice(MESHES, p=[0.3, 0.7])),
            str(r.choice(SIZES, p=[0.25, 0.75])),
            round(float(r.normal(0, 1.5)), 1),
            int(r.integers(0, 3)),
            bool(r.random() < 0.2),
            "It burst." if r.random() < 0.05 else None,
        )
        for i in range(count)
    ]
    stencils = [s for s in screens if s.stencil]
    wanted = []
    for i in range(int(r.integers(2, 5))):
        stored = stencils.pop() if stencils and r.random() < 0.3 else None
        mesh = stored.mesh if stored else str(r.choice(MESHES, p=[0.3, 0.7]))
        size = str(r.choice(SIZES)) if r.random() < 0.2 else None
        wanted.append(Wanted(f"c{i}", mesh, size, stored.screen if stored else None))
    return wanted, screens


def may_print(screen: Candidate, want: Wanted, wanted: list[Wanted]) -> bool:
    """The rules said once more, in other words."""
    if screen.blocked:
        return False
    if want.stored or screen.stencil:
        return want.stored == screen.screen
    others = {w.stored for w in wanted}
    same_size = want.size in (None, screen.size)
    return screen.mesh == want.mesh and same_size and screen.screen not in others


def alike(chosen: tuple[Candidate, ...], wanted: list[Wanted], span: int | None) -> bool:
    """One size unless each colour asks for its own, and counts close enough."""
    counts = [s.retensions for s in chosen]
    sizes = {s.size for s in chosen}
    one_size = all(w.size for w in wanted) or len(sizes) == 1
    return one_size and (span is None or max(counts) - min(counts) <= span)


def all_sets(
    wanted: list[Wanted], screens: list[Candidate], span: int | None = SPAN
) -> Iterator[tuple[Candidate, ...]]:
    """Every set there is."""
    for chosen in permutations(screens, len(wanted)):
        fits = all(may_print(s, w, wanted) for s, w in zip(chosen, wanted, strict=True))
        if fits and alike(chosen, wanted, span):
            yield chosen


def spread(values: list[float]) -> float:
    """Largest less smallest."""
    return max(values) - min(values)


def fewest_retensions(sets: list[tuple[Candidate, ...]], limit: float) -> int | None:
    """Fewest bare screens put on target so that one of the sets passes, by trying all."""
    counts = []
    for chosen in sets:
        bare = [i for i, s in enumerate(chosen) if not s.stencil]
        for many in range(len(bare) + 1):
            for turned in combinations(bare, many):
                values = [
                    0.0 if i in turned else s.deviation_n_per_cm for i, s in enumerate(chosen)
                ]
                if spread(values) <= limit + 1e-9:
                    counts.append(many)
    return min(counts, default=None)
