"""Prints how far strip and membrane differ, and what plans and membranes cost in time.

python -m tests.mechanics.bench_models
"""

import time
from collections.abc import Callable

import numpy as np

from frames.mechanics import (
    Aim,
    Layout,
    Limits,
    Mark,
    Membrane,
    Mesh,
    Reading,
    RegisterAim,
    Strip,
    after_readings,
    begin,
    plan_register,
    plan_tension,
)

from .layouts import all_five

MESH = Mesh(1200, 1200)
NINE = [(u, v) for v in (0.2, 0.5, 0.8) for u in (0.2, 0.5, 0.8)]


def best_ms(work: Callable[[], object], times: int = 7) -> float:
    """Shortest of several runs, ms."""
    took = []
    for _ in range(times):
        start = time.perf_counter()
        work()
        took.append(1000 * (time.perf_counter() - start))
    return min(took)


def difference_map(frame: Layout) -> np.ndarray:
    """(9, 9) difference of the tension across A when bar A bows by 1 mm, over its rms."""
    places, at = frame.grid(9), frame.columns("A")
    bar = np.zeros(frame.count)
    bar[at] = (2 * frame.along("A") / frame.inside_a_mm - 1) ** 2
    fine, plain = (
        m.tension(places)[:, 1] @ bar for m in (Membrane(frame, MESH), Strip(frame, MESH))
    )
    return ((plain - fine) / np.sqrt((fine**2).mean())).reshape(9, 9)


def print_differences() -> None:
    for frame in all_five():
        places = frame.grid(9)
        fine, plain = (m.tension(places) for m in (Membrane(frame, MESH), Strip(frame, MESH)))
        single = np.linalg.norm(plain - fine) / np.linalg.norm(fine)
        name = f"{frame.inside_a_mm:g} x {frame.inside_b_mm:g}, {frame.count} bolts"
        print(f"{name}: one bolt alone {single:.0%}; bar A bowed, strip less membrane over rms:")
        print(difference_map(frame).round(2))


def print_times() -> None:
    for frame in (Layout.evenly(1000, 1000, 7, 7), Layout.evenly(1500, 2000, 16, 16)):
        readings = [Reading(u, v, 18 + u, 19 - v) for u, v in NINE]
        strip = Strip(frame, MESH)
        state = after_readings(begin(strip), readings)
        marks = [Mark(u, v, 0.4 * (u - 0.5), 0.3 * (0.5 - v)) for u, v in NINE[::2]]
        plan = best_ms(lambda s=state, r=readings: plan_tension(s, Aim(22, 0.5), Limits(), r))
        read = best_ms(lambda s=strip, r=readings: after_readings(begin(s), r))
        register = best_ms(lambda s=state, m=marks: plan_register(s, m, RegisterAim(), Limits()))
        build = best_ms(lambda f=frame: Membrane(f, MESH).tension(f.grid(9)), 3)
        print(
            f"{frame.count} bolts: tension plan {plan:.0f} ms, readings taken in {read:.1f} ms, "
            f"register plan with curve {register:.0f} ms, "
            f"membrane built, solved and mapped {build:.0f} ms"
        )


if __name__ == "__main__":
    print_differences()
    print_times()
