"""How long something takes, told so that a busy machine spoils it least."""

import time
from collections.abc import Callable
from dataclasses import asdict, dataclass
from statistics import median, quantiles
from typing import Any


@dataclass(frozen=True)
class Row:
    """One line of the table; `ratio` is against what the name says, `aim` its bound."""

    name: str
    figures: str
    ratio: float | None = None
    aim: str = ""

    def body(self) -> dict[str, Any]:
        return asdict(self)


def seconds(work: Callable[[], object]) -> float:
    began = time.perf_counter()
    work()
    return time.perf_counter() - began


def usual(work: Callable[[], object], times: int = 9) -> float:
    """The median, after a few that warm it up."""
    for _ in range(3):
        work()
    return median(seconds(work) for _ in range(times))


def p95(taken: list[float]) -> float:
    return quantiles(taken, n=20)[-1]
