"""Whatever a log holds, a forecast comes out of it: JSON can carry it, its dates are in order."""

import json
from collections.abc import Iterator

import pytest

from frames import forecast
from frames.derived.sources import by_screen
from frames.folding import effective
from frames.times import milliseconds
from tests.log.making import Maker
from tests.vectors.cases import LIVES

SEEDS = 6
DATES = ("resting_until", "coat_from", "in_tolerance_until", "retension_by")


def screens(entries: list[dict]) -> Iterator[list[dict]]:
    told = effective(entries)
    for frame in {e["frame"] for e in told if e["frame"]}:
        yield from by_screen([e for e in told if e["frame"] == frame], frame).values()


@pytest.mark.parametrize("life", LIVES)
def test_every_life_is_forecast(life: str) -> None:
    make, _ = LIVES[life]
    for seed in range(SEEDS):
        for entries in screens(make(Maker(seed, frames=2))):
            cut = forecast.segments(entries)
            if cut:
                body = told(cut)
                json.dumps(body, allow_nan=False)
                for name in DATES:
                    ends = [body[name][end] for end in ("early", "at", "late") if body[name][end]]
                    times = [milliseconds(end) for end in ends]
                    assert times == sorted(times)


def told(cut: list[dict]) -> dict:
    noise = forecast.noise(forecast.repeats(cut))
    usual = forecast.usual_body(forecast.pooled(cut, noise), cut[-1], noise)
    forecast.chart({"segments": cut, "usual": usual})
    asked = {"segment": cut[-1], "usual": usual}
    return forecast.tell(asked | {"tolerance_n_per_cm": 1.5, "rest_limit_n_per_cm": 0.5})
