"""What is printed beside every plan."""

from __future__ import annotations

from frames.wording import mark, say

from .faults import one_of

ALWAYS = (
    mark("The model knows the mesh only through its readings: turn, measure, ask again."),
    mark("Stretched mesh stores energy: wear glasses, keep your face clear, use a hand spanner."),
    mark("Stop at any creak or slip. Wear cut gloves with stainless mesh."),
    mark("The frame maker's instructions and local codes go first."),
)
ON_PRESS = (
    mark(
        "Before reaching into a press: stop, isolate, lock, prop, try start, by the shop's "
        "lock-out procedure (29 CFR 1910.147, ISO 14118 or the local rule)."
    ),
    mark("Afterwards: tools out, guards on, people clear."),
)


def cautions(where: str = "bench") -> tuple[str, ...]:
    """Cautions for turning bolts on the ``"bench"`` or on the ``"press"``.

    >>> len(cautions("press")) > len(cautions("bench"))
    True
    """
    one_of("where", where, ("bench", "press"), "Say where the bolts are turned")
    return tuple(map(say, ALWAYS + ON_PRESS if where == "press" else ALWAYS))
