"""Logs for property tests: lives of screens, one after the other or at the same time."""

from collections.abc import Callable
from typing import Any

from hypothesis import strategies as st

from tests.log.making import Maker
from tests.vectors.cases import LIVES

Raw = dict[str, Any]
# The door refuses a correction that does not fit the entry it corrects; folding alone may meet one.
TAKEN = sorted(set(LIVES) - {"misfit"})


@st.composite
def makers(draw: Callable) -> Maker:
    maker = Maker(draw(st.integers(0, 2**32)), frames=draw(st.integers(1, 2)))
    maker.random = draw(st.randoms(use_true_random=False))
    return maker


@st.composite
def logs(draw: Callable) -> tuple[Maker, list[Raw]]:
    """A maker and what it has logged so far, of one to three lives."""
    maker = draw(makers())
    names = draw(st.lists(st.sampled_from(TAKEN), min_size=1, max_size=3))
    return maker, [entry for name in names for entry in LIVES[name][0](maker)]
