"""The phone works the screen room's sums out as the library does, on random screens."""

import json
import random
import subprocess

import numpy as np
import pytest

from frames.mechanics import (
    Forecast,
    Seen,
    Segment,
    before_any_log,
    cloth,
    frame_side,
    off_contact,
    register_budget,
    weave,
    which_target,
)
from frames.mechanics.relaxation import curve
from shopfloor.launch import node, pages

CALLS = 40


def _screens(seed: int) -> list[dict[str, float]]:
    dice = random.Random(seed)
    return [
        {
            "count": dice.uniform(20, 160),
            "thread": dice.uniform(20, 60),
            "tension": dice.uniform(8, 40),
            "strain": dice.uniform(0, 0.05),
            "span": dice.uniform(400, 2000),
            "gap": dice.uniform(0.5, 12),
            "share": dice.uniform(0.1, 0.9),
            "wall": dice.uniform(2, 6),
        }
        for _ in range(CALLS)
    ]


Pair = tuple[list[object], object]


def _plates(plates: list[frame_side.Plate]) -> list[dict[str, float]]:
    return [{"across": p.across_mm, "upright": p.upright_mm, "from": p.from_mm} for p in plates]


def _mesh(s: dict[str, float]) -> list[Pair]:
    count, thread = s["count"], s["thread"]
    opening = cloth.opening_um(count, thread, "cm")
    wide = weave.stretched(count, opening, s["strain"])
    stretched = {
        "perCm": wide.count_per_cm,
        "opening": wide.opening_um,
        "openPct": wide.open_area_pct,
    }
    stress = cloth.thread_stress_mpa(s["tension"], count, thread)
    lasting = which_target.by_threads(count, thread).n_per_cm
    return [
        (["weave", "openingUm", [count, thread]], opening),
        (["weave", "openAreaPct", [opening, thread]], cloth.open_area_pct(opening, thread)),
        (["weave", "wetFilmUm", [60, 35, 8]], weave.wet_film_um(60, 35, 8)),
        (["weave", "threadStress", [s["tension"], count, thread]], stress),
        (["weave", "tensionAtStress", [160, count, thread]], lasting),
        (["weave", "stretched", [count, opening, s["strain"]]], stretched),
    ]


def _press(s: dict[str, float]) -> list[Pair]:
    span, height, tension = s["span"], s["gap"], s["tension"]
    gap, image = off_contact.Gap(span, height), span * s["share"]
    ends = (span - image) / 2, (span + image) / 2
    differ = register_budget.by_gap(span, image, 3, height)
    return [
        (["gap", "extraStrain", [span, height, image]], gap.extra_strain(image)),
        (["gap", "downforce", [span, height, image, tension]], gap.downforce(image, tension)),
        (["gap", "growthMm", [span, height, image]], gap.growth_mm(*ends)),
        (["budget", "byGap", [span, image, 3, height]], differ),
        (["budget", "filmScale", [0.4, image]], register_budget.film_scale(0.4, image)),
    ]


def _sections(s: dict[str, float]) -> list[Pair]:
    boxed = frame_side.boxed_u(60, 40, s["wall"], 55, 22)
    ribbed = frame_side.ribbed_u(60, 40, s["wall"], 3, 6)
    made = frame_side.section(boxed)
    told = {
        "area": made.area_mm2,
        "centroid": made.centroid_mm,
        "inertia": made.inertia_mm4,
        "reach": made.reach_mm,
    }
    return [
        (["side", "boxedU", [60, 40, s["wall"], 55, 22]], _plates(boxed)),
        (["side", "ribbedU", [60, 40, s["wall"], 3, 6]], _plates(ribbed)),
        (["side", "section", [_plates(boxed)]], told),
    ]


def _frame(s: dict[str, float]) -> list[Pair]:
    span, tension = s["span"], s["tension"]
    made = frame_side.section(frame_side.plain_u(60, 40, s["wall"]))
    here = {"inertia": made.inertia_mm4, "reach": made.reach_mm}
    load = frame_side.side_load(made, span, tension, 1)
    loaded = {
        "load": load.load_n,
        "builtIn": load.bow_built_in_mm,
        "pinned": load.bow_pinned_mm,
        "stress": load.stress_mpa,
    }
    places = [span * share for share in (0.1, 0.35, 0.6, 0.9)]
    bolts = which_target.by_bolts(places, span, 33.8, 450).n_per_cm
    turns = frame_side.pre_bow_turns(places, span, 8, 1.25)
    return [
        (["side", "sideLoad", [here, span, tension]], loaded),
        (
            ["side", "tensionAtBow", [here, span, 1.5]],
            which_target.by_bow(made, span, 1.5).n_per_cm,
        ),
        (["side", "preBowTurns", [places, span, 8, 1.25]], turns),
        (["side", "pieceMm", [span, 40, 20, 30]], frame_side.piece_mm(span, 40, 20, 30)),
        (["budget", "tensionAtBolts", [places, span, 33.8, 450]], bolts),
    ]


def _rest(s: dict[str, float]) -> list[Pair]:
    """A mesh read once, before the shop has logged anything: what a day costs."""
    hours, target = s["gap"], s["tension"]
    segment = Segment("any", target, 0, [Seen(hours, target)])
    now, later = before_any_log().usual_curve(segment)[0] @ _curve(segment, hours).T
    return [(["usual_loss", "usualLoss", [hours, 24, target]], float(now - later))]


def _curve(segment: Segment, hours: float) -> np.ndarray:
    found = Forecast(segment, before_any_log())
    return curve(segment, found.moments([hours, hours + 24]))


def _flat(value: object) -> list[float]:
    if isinstance(value, dict):
        return [x for key in sorted(value) for x in _flat(value[key])]
    if isinstance(value, list):
        return [x for item in value for x in _flat(item)]
    return [float(value)]


def test_phone_and_library_agree() -> None:
    sums = (_mesh, _press, _sections, _frame, _rest)
    pairs = [pair for screen in _screens(7) for sum_of in sums for pair in sum_of(screen)]
    script = pages.FOLDER.parent / "tests/js/sums.mjs"
    told = subprocess.run(
        [*node.find().node, str(script)],
        input=json.dumps([call for call, _ in pairs]),
        capture_output=True,
        text=True,
        check=True,
        timeout=60,
    )
    answers = json.loads(told.stdout)
    assert len(answers) == len(pairs)
    for (call, wanted), got in zip(pairs, answers, strict=True):
        assert _flat(got) == pytest.approx(_flat(wanted), rel=1e-9, abs=1e-12), call
