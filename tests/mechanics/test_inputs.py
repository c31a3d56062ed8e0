"""Bad input is refused with field, value and remedy."""

from collections.abc import Callable

import numpy as np
import pytest

from frames.mechanics import (
    Adjuster,
    Aim,
    Bar,
    Bolt,
    Doubt,
    InputFault,
    Layout,
    Limits,
    Mark,
    Membrane,
    Mesh,
    Observation,
    Reading,
    RegisterAim,
    Strip,
    View,
    begin,
    learn,
    reset,
    scatter,
    stiffness_range,
    what_if,
)

FRAME = Layout.evenly(900, 900, 4, 4)
STATE = begin(Strip(FRAME, Mesh(1000, 1000)))

BAD: list[tuple[str, Callable[[], object]]] = [
    ("inside_a_mm", lambda: Layout.evenly(0, 900, 4, 4)),
    ("inside_b_mm", lambda: Layout(900, float("nan"), {"A": (100,)})),
    ("bolts.A2", lambda: Layout(900, 900, {"A": (100, 100)})),
    ("bolts.C1", lambda: Layout(900, 900, {"C": (950,)})),
    ("bolts", lambda: Layout(900, 900, {"E": (100,)})),
    ("bolts", lambda: Layout(900, 900, {})),
    ("pitch_mm", lambda: Bolt(-1)),
    ("step_48ths", lambda: Bolt(1.25, 5)),
    ("ei_n_cm2", lambda: Bar(0)),
    ("lock_gap_mm", lambda: Bar(6e6, -1)),
    ("ex_n_per_cm", lambda: Mesh(0, 1000)),
    ("coupling", lambda: Mesh(1000, 1000, 0.9)),
    ("material", lambda: stiffness_range("silk", 77, 55)),
    ("thread_um", lambda: stiffness_range("polyester", 77, 5)),
    ("u", lambda: Reading(1.2, 0.5, 20.0)),
    ("along_a_n_per_cm", lambda: Reading(0.5, 0.5)),
    ("across_a_n_per_cm", lambda: Reading(0.5, 0.5, 20.0, 151.0)),
    ("along_a_n_per_cm", lambda: Reading(0.5, 0.5, "20,5")),
    ("target_n_per_cm", lambda: Aim(0)),
    ("turns", lambda: Limits(turns=3.5)),
    ("cap_n_per_cm", lambda: Limits(cap_n_per_cm=0)),
    ("hidden", lambda: Limits(hidden="A1")),
    ("bolt", lambda: Limits(seized={"A9"}).turnable(FRAME)),
    ("meter_n_per_cm", lambda: Doubt(meter_n_per_cm=0)),
    ("dx_mm", lambda: Mark(0.5, 0.5, 40, 0)),
    ("sd_mm", lambda: Mark(0.5, 0.5, 0, 0, 0)),
    ("pulls", lambda: scatter([])),
    ("pulls", lambda: scatter([[Mark(0.1, 0.1, 0, 0)], [Mark(0.2, 0.1, 0, 0)]])),
    ("tolerance_mm", lambda: RegisterAim(tolerance_mm=0)),
    ("moves", lambda: Adjuster("side", 0, 0, "up", 0.1)),
    ("near", lambda: View("print", "E")),
    ("quantity", lambda: learn([], "F1", "M1", "z")),
    ("sd", lambda: Observation("F1", "M1", "x", 1, 1, 0)),
    ("places", lambda: what_if(STATE, {}, [(0.5, 1.5)])),
    ("bolt", lambda: what_if(STATE, {"A7": 8}, [(0.5, 0.5)])),
    ("stand_out_mm", lambda: reset(STATE, {"A1": 3.0})),
    ("stand_out_mm.A1", lambda: reset(STATE, {"A1": 300.0, "A2": 3.0})),
    ("prestress_n_per_cm", lambda: Membrane(FRAME, Mesh(1000, 1000), -1)),
]


@pytest.mark.parametrize(("field", "build"), BAD, ids=[f"{i}-{f}" for i, (f, _) in enumerate(BAD)])
def test_bad_input_names_field_value_and_remedy(field: str, build: Callable[[], object]) -> None:
    with pytest.raises(InputFault) as caught:
        build()
    assert caught.value.field == field
    assert caught.value.remedy.endswith(".")
    assert field in str(caught.value)


def test_an_unknown_bolt_is_told_which_there_are() -> None:
    with pytest.raises(InputFault, match=r"A1 to A4, B1 to B4, C1 to C4, D1 to D4"):
        FRAME.index("E1")


def test_inputs_are_frozen() -> None:
    for thing, field in (
        (FRAME, "inside_a_mm"),
        (Mesh(1000, 1000), "coupling"),
        (Bolt(), "pitch_mm"),
    ):
        with pytest.raises(AttributeError):
            setattr(thing, field, 1)
    with pytest.raises(TypeError):
        FRAME.bolts["A"] = ()


def test_numpy_numbers_are_numbers() -> None:
    assert Reading(np.float64(0.5), np.float32(0.5), np.int64(20)).along_a_n_per_cm == 20
