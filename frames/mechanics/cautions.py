"""What is printed beside every plan."""

from __future__ import annotations

from .faults import one_of

ALWAYS = (
    "The model knows the mesh only through its readings: turn, measure, ask again.",
    "Stretched mesh stores energy: wear glasses, keep your face clear, use a hand spanner.",
    "Stop at any creak or slip. Wear cut gloves with stainless mesh.",
    "The frame maker's instructions and local codes go first.",
)
ON_PRESS = (
    "Before reaching into a press: stop, isolate, lock, prop, try start, by the shop's lock-out "
    "procedure (29 CFR 1910.147, ISO 14118 or the local rule).",
    "Afterwards: tools out, guards on, people clear.",
)


def cautions(where: str = "bench") -> tuple[str, ...]:
    """Cautions for turning bolts on the ``"bench"`` or on the ``"press"``.

    >>> len(cautions("press")) > len(cautions("bench"))
    True
    """
    one_of("where", where, ("bench", "press"), "Say where the bolts are turned")
    return ALWAYS + ON_PRESS if where == "press" else ALWAYS
