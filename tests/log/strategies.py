"""Logs for property tests: lives of screens, one after the other or at the same time."""

from collections.abc import Callable
from typing import Any

from hypothesis import strategies as st

from frames.entries import KINDS, is_act
from frames.times import milliseconds, utc_text
from tests.log.making import DAY_MS, MINUTE_MS, Maker
from tests.vectors.cases import LIVES

Raw = dict[str, Any]
# The door refuses a correction that does not fit the entry it corrects; folding alone may meet one.
TAKEN = sorted(set(LIVES) - {"misfit"})
AFTER = ["tension_check", "bolt_turns", "exposed", "burst", "mesh_removed"]


@st.composite
def makers(draw: Callable) -> Maker:
    maker = Maker(draw(st.integers(0, 2**32)), frames=draw(st.integers(1, 2)))
    maker.random = draw(st.randoms(use_true_random=False))
    return maker


@st.composite
def logs(draw: Callable) -> tuple[Maker, list[Raw]]:
    """A maker and what it has logged so far: one to three lives, and second thoughts about them."""
    maker = draw(makers())
    names = draw(st.lists(st.sampled_from(TAKEN), min_size=1, max_size=3))
    told = [entry for name in names for entry in LIVES[name][0](maker)]
    maker.now_ms += DAY_MS
    return maker, told + draw(second_thoughts(maker, told))


@st.composite
def scraps(draw: Callable) -> tuple[Maker, list[Raw]]:
    """A mesh, what was done with it and a second thought: little else hides what each does."""
    maker = draw(makers())
    frame = maker.frames[0]
    told = [maker.fit(frame)]
    for kind in draw(st.lists(st.sampled_from(AFTER), min_size=1, max_size=2)):
        maker.now_ms += 10 * MINUTE_MS
        told.append(maker.on(frame, kind))
    maker.now_ms += DAY_MS
    return maker, told + draw(second_thoughts(maker, told, least=1, most=4 - len(told)))


@st.composite
def second_thoughts(
    draw: Callable, maker: Maker, told: list[Raw], least: int = 0, most: int = 4
) -> list[Raw]:
    """Voids, and corrections of when something was or on which of the shop's meshes."""
    about = [one for one in told if one["kind"] in KINDS and one["frame"] and not is_act(one)]
    meshes = [one for one in about if one["kind"] == "mesh_fitted"]
    made = []
    picked = (
        st.lists(st.sampled_from(about), min_size=least, max_size=most) if about else st.just([])
    )
    for entry in draw(picked):
        how = draw(st.sampled_from(["void", "time", "mesh"]))
        if how == "void":
            made.append(maker.void(entry))
            continue
        minutes = draw(st.integers(-6000, 60))
        changes = {
            "occurred_at": utc_text(milliseconds(entry["occurred_at"]) + minutes * MINUTE_MS)
        }
        if how == "mesh" and meshes and entry["kind"] != "mesh_fitted":
            mesh = draw(st.sampled_from(meshes))
            changes |= {"frame": mesh["frame"], "screen": mesh["id"]}
        made.append(maker.correct(entry, **changes))
    return made
