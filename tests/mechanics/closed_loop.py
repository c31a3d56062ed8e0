"""Plans tried in a closed loop on seeded screens: read, plan, turn, nip up, rest, score.

A planner is a function `plan(brief, log, readings) -> {bolt: turn in 48ths}`, + tightens.
It must keep to the brief: known bolts outside `fixed`, whole steps, the limit per round.
It knows nothing of the plant but readings (noise 0.4, half newtons) and its own log.

Rounds are counted from the first after which the limit allows the target at all: round 1 is
the k-th trip round the frame, k being how many trips at the limit on every bolt lift this
screen's mean tension to the target in both directions.

    python -m tests.mechanics.closed_loop [screens per layout]
"""

import sys
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from tests.mechanics.plant import LAYOUTS, Layout, Plant

Floats = NDArray[np.float64]
Place = tuple[float, float]
PLACES: dict[str, list[Place]] = {
    "nine": [(u, v) for v in (0.2, 0.5, 0.8) for u in (0.2, 0.5, 0.8)],
    "five": [(0.5, 0.5), (0.2, 0.2), (0.8, 0.2), (0.8, 0.8), (0.2, 0.8)],
    "one": [(0.5, 0.5)],
}
NOMINAL_EA = (1090.0, 1090.0)
FROM_LOCKS_MM, MARGIN_MM = 80.0, 45.0


@dataclass(frozen=True)
class Brief:
    """What a person knows before turning. Tension and stiffness N/cm, turns in 48ths.

    `fixed` bolts are seized or hidden and hold what they hold. `nominal_ea_n_per_cm` is what
    the mesh card makes one expect along x and y; the screen itself is off by up to 40 %.
    """

    layout: Layout
    target_n_per_cm: float
    tolerance_n_per_cm: float
    cap_n_per_cm: float
    step_48ths: int
    limit_48ths: int
    fixed: frozenset[str]
    places: tuple[Place, ...]
    nominal_ea_n_per_cm: tuple[float, float] = NOMINAL_EA


@dataclass(frozen=True)
class Reading:
    """Meter along A and across A at one place, N/cm; None where not read."""

    u: float
    v: float
    along_a_n_per_cm: float | None
    across_a_n_per_cm: float | None


@dataclass(frozen=True)
class Round:
    """One trip round the frame: what was read before, asked for, and taken up afterwards."""

    readings: list[Reading]
    asked: dict[str, int]
    nipped: dict[str, int]


Plan = Callable[[Brief, Sequence[Round], list[Reading]], Mapping[str, int]]
AlsoRead = Callable[[Brief, Sequence[Round]], Sequence[Place]]


def nowhere(brief: Brief, log: Sequence[Round]) -> Sequence[Place]:
    """The places of the brief are all that is read."""
    return ()


@dataclass
class Scores:
    """Per screen and round (screens, rounds), N/cm: worst miss at the reading places, at 49
    places 80 mm or more from the locks, in the margins 45 mm from the locks; spread over
    the 49; largest tension at any of these so far."""

    name: str
    layouts: list[str] = field(default_factory=list)
    trips: list[int] = field(default_factory=list)
    rows: dict[str, list[list[float]]] = field(default_factory=dict)

    def array(self, kind: str) -> Floats:
        return np.array(self.rows[kind])

    def table(self) -> str:
        """Median and 90th percentile of every score, round by round."""
        rounds = self.array("places").shape[1]
        lines = [f"{self.name}: {len(self.layouts)} screens, N/cm, median | 90th percentile"]
        lines.append("round".ljust(12) + "".join(f"{r + 1:>7}" for r in range(rounds)) * 2)
        for kind in self.rows:
            both = [np.median(self.array(kind), 0), np.percentile(self.array(kind), 90, 0)]
            lines.append(kind.ljust(12) + "".join(f"{x:7.2f}" for row in both for x in row))
        return "\n".join(lines)


def run(
    plan: Plan,
    seeds: Iterable[int] = range(40),
    layouts: Sequence[Layout] = LAYOUTS,
    *,
    name: str = "",
    also_read: AlsoRead = nowhere,
    **case: Any,
) -> Scores:
    """Try one planner; see `beside`. `also_read` names further places to read before each trip."""
    name = name or getattr(plan, "__name__", "plan")
    return beside({name: (plan, also_read)}, seeds, layouts, **case)[0]


def beside(
    players: Mapping[str, tuple[Plan, AlsoRead]],
    seeds: Iterable[int] = range(40),
    layouts: Sequence[Layout] = LAYOUTS,
    *,
    places: str = "nine",
    trouble: str = "none",
    rounds: int = 6,
    target: float = 22.0,
    step_48ths: int = 6,
    **traits: Any,
) -> list[Scores]:
    """Try planners on the same screens, one per seed and layout; AssertionError if one breaks the
    brief.

    `trouble`: "none", "seized" (one bolt), "seized2" (two), "hidden" (a third of one side
    under a clamp). `traits` override the plant's, such as `unevenness=0.3`.
    """
    scores = [Scores(name) for name in players]
    for seed in seeds:
        for layout in layouts:
            fixed = troubled(layout, trouble, seed)
            plant = Plant(seed, layout, fixed=fixed, **traits)
            brief = Brief(layout, target, 1.5, 32.0, step_48ths, 96, fixed, tuple(PLACES[places]))
            trips = trips_needed(plant, brief)
            for score, (plan, also_read) in zip(scores, players.values(), strict=True):
                one_screen(plan, plant.copy(), brief, (trips, rounds), score, also_read)
    return scores


def troubled(layout: Layout, trouble: str, seed: int) -> frozenset[str]:
    """Which bolts cannot be turned on this screen."""
    rng = np.random.default_rng([seed, 77, len(layout.names)])
    if trouble in ("seized", "seized2"):
        return frozenset(rng.choice(layout.names, 2 if trouble == "seized2" else 1, replace=False))
    if trouble == "hidden":
        side = "ABCD"[rng.integers(4)]
        count = len(layout.bolts[side])
        wide = max(1, count // 3)
        first = int(rng.integers(1, count - wide + 2))
        return frozenset(f"{side}{i}" for i in range(first, first + wide))
    assert trouble == "none", f"trouble: {trouble!r} is not known"
    return frozenset()


def one_screen(
    plan: Plan,
    plant: Plant,
    brief: Brief,
    counts: tuple[int, int],
    scores: Scores,
    also_read: AlsoRead = nowhere,
) -> None:
    """Take one screen to the target, so many trips and then rounds, and append its scores."""
    watch = Watch(brief)
    trips, rounds = counts
    log: list[Round] = []
    for trip in range(trips + rounds - 1):
        places = [*brief.places, *also_read(brief, log)]
        readings = [
            Reading(*place, *read) for place, read in zip(places, plant.read(places), strict=True)
        ]
        asked = kept(brief, plan(brief, tuple(log), readings))
        plant.turn({bolt: turn / 48 for bolt, turn in asked.items()})
        watch.largest_of(plant)
        nipped = {bolt: round(48 * turn) for bolt, turn in plant.nip_up().items()}
        plant.rest()
        log.append(Round(readings, asked, nipped))
        watch.see(plant, counted=trip >= trips - 1)
    scores.layouts.append(brief.layout.name)
    scores.trips.append(trips)
    for kind, values in watch.rows.items():
        scores.rows.setdefault(kind, []).append(values)


def kept(brief: Brief, asked: Mapping[str, int]) -> dict[str, int]:
    """The turns, if they keep to the brief."""
    for bolt, turn in asked.items():
        assert bolt in brief.layout.names, f"{bolt}: no bolt of this frame"
        assert not (turn and bolt in brief.fixed), f"{bolt} cannot be turned, asked {turn}/48"
        assert turn == int(turn), f"{bolt}: {turn}/48 is no whole 48th"
        assert turn % brief.step_48ths == 0, f"{bolt}: {turn}/48 is no whole step"
        assert abs(turn) <= brief.limit_48ths, f"{bolt}: {turn}/48 is over the limit"
    return {bolt: int(turn) for bolt, turn in asked.items() if turn}


def trips_needed(plant: Plant, brief: Brief, most: int = 30) -> int:
    """Trips round the frame at the limit until the mean of both directions is on target."""
    twin = plant.copy(wrench_error=0.0)
    turns = {bolt: brief.limit_48ths / 48 for bolt in brief.layout.names if bolt not in brief.fixed}
    for trip in range(1, most + 1):
        twin.turn(turns)
        twin.rest()
        if (twin.tension_at(inner(brief.layout)).mean(axis=0) >= brief.target_n_per_cm).all():
            return trip
    raise AssertionError(f"the limit never reaches {brief.target_n_per_cm} N/cm on this screen")


def inner(layout: Layout) -> list[Place]:
    """49 places in a grid whose rim is 80 mm from the locks."""
    u, v = (
        np.linspace(FROM_LOCKS_MM / length, 1 - FROM_LOCKS_MM / length, 7)
        for length in (layout.inside_a_mm, layout.inside_b_mm)
    )
    return [(float(a), float(b)) for b in v for a in u]


def margin(layout: Layout) -> list[Place]:
    """20 places 45 mm from the locks, between the corners."""
    a, b = MARGIN_MM / layout.inside_a_mm, MARGIN_MM / layout.inside_b_mm
    steps = np.linspace(0.18, 0.82, 5)
    return [p for t in steps for p in ((t, b), (1 - a, t), (1 - t, 1 - b), (a, 1 - t))]


class Watch:
    """Looks at the true tension of one screen and keeps its scores."""

    def __init__(self, brief: Brief) -> None:
        self.brief, self.largest = brief, 0.0
        self.inner, self.margin = inner(brief.layout), margin(brief.layout)
        kinds = ("readings", "places", "margins", "spread", "largest")
        self.rows: dict[str, list[float]] = {kind: [] for kind in kinds}

    def largest_of(self, plant: Plant) -> None:
        self.largest = max(self.largest, plant.tension_at(self.inner + self.margin).max())

    def see(self, plant: Plant, counted: bool) -> None:
        """Score the screen as it stands, if the round counts."""
        self.largest_of(plant)
        if not counted:
            return
        inner = plant.tension_at(self.inner)
        means = inner.mean(axis=1)
        values = {
            "readings": self.worst(plant.tension_at(self.brief.places)),
            "places": self.worst(inner),
            "margins": self.worst(plant.tension_at(self.margin)),
            "spread": float(means.max() - means.min()),
            "largest": self.largest,
        }
        for kind, value in values.items():
            self.rows[kind].append(value)

    def worst(self, tension: Floats) -> float:
        return float(abs(tension - self.brief.target_n_per_cm).max())


def main(per_layout: int) -> None:
    from tests.mechanics.hand_rule import plan

    for places in PLACES:
        print(run(plan, range(per_layout), name=f"hand rule, {places}", places=places).table())
    for trouble in ("seized", "seized2", "hidden"):
        name = f"hand rule, nine, {trouble}"
        print(run(plan, range(per_layout), name=name, trouble=trouble).table())


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 40)
