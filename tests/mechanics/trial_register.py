"""Register plans tried on the independent plant.

    python -m tests.mechanics.trial_register [screens per layout]

Marks are off by 0.3 to 1.0 mm from a mix of shift, rotation, stretch, skew and a smooth local
error, measured to 0.05 mm. Scored after one and after two plans: rms miss at the marks and at 25
other places of the image, bolts moved, largest change of tension anywhere on the image.
"""

import sys
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from frames.mechanics import (
    Bolt,
    Layout,
    Limits,
    Mark,
    Mesh,
    Reading,
    RegisterAim,
    State,
    Strip,
    after_readings,
    after_turns,
    answer,
    begin,
    plan_register,
)
from frames.mechanics.decomposition import affine_rows
from tests.mechanics.plant import LAYOUTS, Plant

MARKS = {
    2: [(0.2, 0.5), (0.8, 0.5)],
    3: [(0.2, 0.2), (0.8, 0.2), (0.5, 0.8)],
    4: [(0.2, 0.2), (0.8, 0.2), (0.8, 0.8), (0.2, 0.8)],
    6: [(0.2, 0.2), (0.8, 0.2), (0.8, 0.8), (0.2, 0.8), (0.5, 0.2), (0.5, 0.8)],
}
IMAGE = [(u, v) for v in np.linspace(0.2, 0.8, 5) for u in np.linspace(0.2, 0.8, 5)]
AIM = RegisterAim(tolerance_mm=0.1, tension_change_n_per_cm=4.0)
NOMINAL = Mesh(1090, 1090)


@dataclass(frozen=True)
class Trial:
    """One screen: rms (mm) before, after one, after two plans; bolts moved; tension changed."""

    at_marks: list[float]
    on_image: list[float]
    bolts: int
    of: int
    tension: float
    curve: tuple


class Misfit:
    """A register error over the frame, mm: affine and smooth local parts of a chosen size."""

    def __init__(self, frame: Layout, seed: int) -> None:
        r = np.random.default_rng([seed, 11, frame.count])
        half = (frame.inside_a_mm + frame.inside_b_mm) / 4000
        self.frame, self.parts = frame, r.normal(0, [1, 1, *[1.2 / half] * 4])
        self.wave, self.phase = r.normal(0, 2.5, (2, 2)), r.uniform(0, 6.3, 2)
        self.local, self.scale = r.normal(0, 0.25, 2), 1.0
        self.scale = r.uniform(0.3, 1.0) / rms(self.at(MARKS[4]))

    def at(self, places: Sequence[tuple[float, float]]) -> np.ndarray:
        """(n, 2) mm."""
        affine = (affine_rows(self.frame, places) @ self.parts).reshape(2, -1).T
        local = self.local * np.cos(np.asarray(places) @ self.wave.T + self.phase)
        return self.scale * (affine + local)


def rms(errors: np.ndarray) -> float:
    return float(np.sqrt((errors**2).sum(axis=1).mean()))


def one_screen(seed: int, layout: object, count: int, step: int, sd: float = 0.05) -> Trial:
    """Two plans on one screen at about 20 N/cm."""
    frame = Layout(
        layout.inside_a_mm, layout.inside_b_mm, {s: tuple(layout.bolts[s]) for s in "ABCD"}
    )
    plant = Plant(seed, layout, start_n_per_cm=20.0)
    plant.nip_up()
    plant.expose()
    wrong, places = Misfit(frame, seed), MARKS[count]
    noise = np.random.default_rng([seed, 12, count])
    before = plant.tension_at(IMAGE)
    read = [Reading(0.5, 0.5, *map(float, plant.read([(0.5, 0.5)])[0]))]
    state = after_readings(begin(Strip(frame, NOMINAL), Bolt(layout.pitch_mm, step)), read)
    trial = Trial([rms(wrong.at(places))], [rms(wrong.at(IMAGE))], 0, frame.count, 0.0, ())
    for again in (False, True):
        errors = wrong.at(places) + plant.displacement_of(places)
        errors = errors + noise.normal(0, sd, errors.shape)
        turns, curve = advised(state, places, errors, sd, again)
        plant.turn(turns)
        nipped = plant.nip_up()
        state = after_turns(state, turns, nipped=nipped)
        trial = scored(trial, plant, wrong, places, turns, curve)
    change = float(np.abs(plant.tension_at(IMAGE) - before).max())
    return Trial(trial.at_marks, trial.on_image, trial.bolts, trial.of, change, trial.curve)


def advised(
    state: State, places: Sequence[tuple[float, float]], errors: np.ndarray, sd: float, again: bool
) -> tuple[dict[str, float], tuple]:
    """Turns the library advises; a second time only if it does not say to leave it."""
    pairs = zip(places, errors.tolist(), strict=True)
    marks = [Mark(u, v, dx, dy, sd) for (u, v), (dx, dy) in pairs]
    if again:
        found = answer(state, [marks], AIM, Limits())
        plan = found.plan if found.kind == "bolts" else None
    else:
        plan = plan_register(state, marks, AIM, Limits())
    turns = {n: k / 48 for n, k in plan.turns_48ths.items()} if plan else {}
    return turns, plan.curve if plan else ()


def scored(
    trial: Trial,
    plant: Plant,
    wrong: Misfit,
    places: Sequence[tuple[float, float]],
    turns: dict[str, float],
    curve: tuple,
) -> Trial:
    return Trial(
        [*trial.at_marks, rms(wrong.at(places) + plant.displacement_of(places))],
        [*trial.on_image, rms(wrong.at(IMAGE) + plant.displacement_of(IMAGE))],
        trial.bolts or len(turns),
        trial.of,
        trial.tension,
        trial.curve or curve,
    )


def trials(seeds: Iterable[int], count: int, step: int, layouts: Sequence = LAYOUTS) -> list[Trial]:
    return [one_screen(seed, layout, count, step) for seed in seeds for layout in layouts]


def told(found: list[Trial]) -> str:
    """Medians and 90th percentiles in one line."""
    marks, image = (np.array([getattr(t, k) for t in found]) for k in ("at_marks", "on_image"))
    tension = [t.tension for t in found]
    share = np.mean([t.bolts / t.of for t in found])
    parts = []
    for name, table in (("marks", marks), ("image", image)):
        middle, high = np.median(table, axis=0), np.percentile(table, 90, axis=0)
        parts.append(f"{name} {line(middle)} (90 % {line(high)})")
    change = f"tension {np.median(tension):.1f}, at most {max(tension):.1f} N/cm"
    return f"{'; '.join(parts)}; bolts {share:.0%}; {change}"


def line(values: np.ndarray) -> str:
    return " ".join(f"{v:.3f}" for v in values)


def print_curve(found: list[Trial]) -> None:
    """Median share of the error left, against share of the bolts moved."""
    shares = np.linspace(0.1, 1.0, 10)
    rows = []
    for t in found:
        x = [p.bolts / t.of for p in t.curve][::-1]
        y = [p.marks_mm / t.at_marks[0] for p in t.curve][::-1]
        rows.append(np.interp(shares, x, y))
    print("bolts moved ", " ".join(f"{s:5.0%}" for s in shares))
    print("error left  ", " ".join(f"{s:5.0%}" for s in np.median(rows, axis=0)))


def main(per_layout: int) -> None:
    for count in MARKS:
        found = trials(range(per_layout), count, 6)
        print(f"{count} marks, eighths: {told(found)}", flush=True)
        if count == 6:
            print_curve(found)
    for step, name in ((8, "sixths"), (3, "sixteenths")):
        print(f"6 marks, {name}: {told(trials(range(per_layout), 6, step))}", flush=True)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 40)
