"""Prints what the mechanics is held to from outside, the computed value beside it.

    python -m tests.mechanics.checked_table

Sources stand in the tests that assert the same: `tests/reference`, `test_membrane_exact.py`,
`test_membrane_laws.py`, `test_strip_against_membrane.py`.
"""

from collections.abc import Iterator

import numpy as np

from frames.mechanics import Layout, Membrane, Mesh, Strip
from frames.mechanics.beam import bend
from tests.mechanics import test_membrane_exact as exact
from tests.mechanics import test_membrane_laws as laws
from tests.mechanics import test_strip_against_membrane as against
from tests.mechanics.layouts import all_five
from tests.reference import test_hetenyi as hetenyi

Row = tuple[str, str, str]


def beams() -> Iterator[Row]:
    """Continuous beams and a bar on springs; kN and m, kip and inch, as their sources have them."""
    two = bend(np.array([0.0, 3, 6, 12, 18]), 1e3, {0: 0, 2: 0, 4: 0}, point_loads={1: -20, 3: -20})
    yield "three moments: over the middle, kN m", "-37.5", f"{two.moment[2]:.4f}"
    for name, node, want in (("A", 0, "3.75"), ("B", 2, "29.375"), ("C", 4, "6.875")):
        yield f"three moments: reaction {name}, kN", want, f"{two.reaction[node]:.4f}"
    held = {0: 0.0, 8: -0.625, 16: -1.5, 24: -0.75}
    settled = bend(np.linspace(0, 720, 25), 29000 * 7800, held, line_load=-2 / 12)
    for node, want in ((0, "-1.18099"), (8, "122.54167"), (16, "-61.54037"), (24, "60.17969")):
        yield f"settling support {node // 8 + 1}, kip", want, f"{settled.reaction[node]:.5f}"
    springs = dict.fromkeys(range(1, 16), 22.5)
    nodes = np.linspace(0, 240, 17)
    bar = bend(nodes, 29000 * 128.5, {0: 0, 16: 0}, springs, point_loads={8: -40})
    yield "bar on 15 springs: middle, in", "-0.24627 (book -0.238)", f"{bar.deflection[8]:.5f}"
    yield "bar on 15 springs: moment, kip in", "546.637 (book 547)", f"{bar.moment[8]:.3f}"


def foundations() -> Iterator[Row]:
    """Hetenyi's closed forms, N and mm."""
    long = hetenyi.long_beam(hetenyi.EI, hetenyi.K, hetenyi.P, 5.0, 600)
    yield "infinite bar on mesh: under the load, mm", "0.0484901", f"{long.deflection[600]:.7f}"
    yield "infinite bar on mesh: moment, N mm", "8055.77", f"{abs(long.moment[600]):.2f}"
    end = bend(np.arange(601) * 5.0, hetenyi.EI, point_loads={0: hetenyi.P}, foundation=hetenyi.K)
    yield "semi-infinite bar: at the loaded end, mm", "0.193960", f"{end.deflection[0]:.6f}"
    short = bend(
        np.linspace(0, 100, 201), hetenyi.EI, point_loads={100: hetenyi.P}, foundation=hetenyi.K
    )
    yield "free bar of 100 mm: in the middle, mm", "0.125565", f"{short.deflection[100]:.6f}"


def membranes() -> Iterator[Row]:
    """Exact cases, convergence and laws of the membrane."""
    frame, mesh = Layout.evenly(1000, 800, 6, 5, exact.STIFF), Mesh(1000, 800)
    draw = frame.vector(dict.fromkeys(frame.names, 1.0))
    drawn = Membrane(frame, mesh, divisions=6).tension(frame.grid(6, 0)) @ draw
    want = np.array(mesh.stiffness) @ [2 / 1000, 2 / 800]
    off = np.abs(drawn / want - 1).max()
    yield "uniform draw: tension anywhere, N/cm", f"{want[0]:.4f}, {want[1]:.4f}", f"off {off:.0e}"
    plain, places = Layout.evenly(1000, 800, 4, 3, exact.STIFF), frame.grid(5)
    strip = Strip(plain, exact.THREADS).displacement(places)
    fine = Membrane(plain, exact.THREADS, 0, 40).displacement(places)
    yield "strip limit: image moves, mm per mm", "0", f"off {np.abs(fine - strip).max():.0e}"
    errors = np.array([exact.manufactured_error(n) for n in (5, 10, 20)])
    orders = np.log2(errors[:-1] / errors[1:])
    yield "manufactured solution: order", "3", " ".join(f"{x:.2f}" for x in orders)
    built = laws.build()
    s = built.stiffness
    yield "reciprocity", "0", f"off {np.abs(s - s.T).max() / np.abs(s).max():.0e}"
    start, step = np.zeros(built.layout.count), np.linspace(0.2, 0.6, built.layout.count)
    (one, _), (two, _) = built.settle(start, laws.tight), built.settle(step, laws.tight)
    work = (one.force_n + two.force_n) / 2 @ (two.bar_mm - one.bar_mm)
    stored = two.energy_n_mm - one.energy_n_mm
    yield "bolts' work against energy stored, N mm", f"{work:.2f}", f"{stored:.2f}"
    at, mirror = frame.grid(4), [laws.mirrored(n, built.layout) for n in built.layout.names]
    there = built.tension(np.stack([1 - at[:, 0], at[:, 1]], axis=1))[:, :, mirror]
    yield "mirror image", "0", f"off {np.abs(there - built.tension(at)).max():.0e}"


def differences() -> Iterator[Row]:
    """Strip against membrane: relative rms difference of the tension one bar makes."""
    for frame in all_five():
        told = ", ".join(
            f"{name} {against.difference(frame, power):.0%}"
            for name, (power, _) in against.SHAPES.items()
        )
        yield f"strip against membrane, {frame.inside_a_mm:g} x {frame.inside_b_mm:g}", "0", told


def main() -> None:
    print("| check | from outside | computed |\n|---|---|---|")
    for part in (beams, foundations, membranes, differences):
        for row in part():
            print("| " + " | ".join(row) + " |", flush=True)


if __name__ == "__main__":
    main()
