"""How good forecasts are on screens that relax by other laws, beside two simple rules.

python -m tests.mechanics.trial_forecast [shops] [screens per shop]
"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from frames.mechanics.forecasting import Forecast, forecast
from frames.mechanics.pooling import Pool, pool

from .relaxing import LAWS, Screen, simulate
from .relaxing.shop import AHEAD_H

SHARES = (0.8, 0.95)


@dataclass
class Scores:
    """Absolute errors by rule and hours ahead; hits by share and hours ahead; jumps."""

    errors: dict = field(default_factory=dict)
    hits: dict = field(default_factory=dict)
    jumps: int = 0
    found: int = 0
    false_alarms: int = 0
    checks: int = 0

    def add(self, table: dict, key: tuple, value: float) -> None:
        table.setdefault(key, []).append(value)

    def mean(self, table: str, *key: object) -> float:
        """Mean of one cell."""
        return float(np.mean(getattr(self, table)[key]))


def straight_line(screen: Screen, ahead_h: float) -> float:
    """Through the checks since the last turn, in days; the last one if there is but one."""
    seen = screen.segment.seen
    if len(seen) < 2:
        return seen[-1].n_per_cm
    at, tension = [s.at_h for s in seen], screen.segment.tension
    return float(np.polyval(np.polyfit(at, tension, 1), screen.now_h + ahead_h))


def judge(screens: Sequence[Screen], usual: Pool, scores: Scores) -> None:
    """Forecast every screen and keep the score."""
    for screen in screens:
        ours = forecast(screen.segment, usual)
        last = screen.segment.seen[-1]
        for ahead, (made, _, read) in screen.later.items():
            when = screen.now_h + ahead
            bands = {
                s: ours.ahead(when, made, meter=last.meter, share=s, noise_sd=last.sd)
                for s in SHARES
            }
            rules = {
                "forecast": bands[0.8].mean[0],
                "last reading": last.n_per_cm,
                "straight line": straight_line(screen, ahead),
            }
            for rule, value in rules.items():
                scores.add(scores.errors, (rule, ahead), abs(value - read))
                scores.add(scores.errors, (rule, ahead, screen.law), abs(value - read))
            for share, band in bands.items():
                hit = bool(band.low[0] <= read <= band.high[0])
                scores.add(scores.hits, (share, ahead), hit)
                scores.add(scores.hits, (share, ahead, screen.law), hit)
        _count_jumps(screen, ours, scores)


def _count_jumps(screen: Screen, ours: Forecast, scores: Scores) -> None:
    """A jump counts as found at its check; anything said elsewhere is a false alarm."""
    true = {index for index, _, _ in screen.jumps}
    # after a wrong reading the next one jumps back: naming either is right
    said = {s.index for s in ours.shifts}
    scores.jumps += len(true)
    scores.found += len(true & said)
    scores.false_alarms += len(said - true)
    scores.checks += len(screen.segment.seen)


def trial(shops: int, screens: int, first_seed: int = 0) -> Scores:
    """Scores of that many shops, each pooled over its own screens."""
    scores = Scores()
    for seed in range(first_seed, first_seed + shops):
        made = simulate(seed, screens)
        judge(made, pool([s.segment for s in made]), scores)
    return scores


def report(scores: Scores) -> str:
    """The table."""
    lines = ["mean absolute error against the next reading, N/cm, and share inside the band"]
    for law in (None, *LAWS):
        key = (law,) if law else ()
        lines.append(f"{law or 'all laws'}:")
        for ahead in AHEAD_H:
            if (("forecast", ahead, *key)) not in scores.errors:
                continue
            errors = ", ".join(
                f"{rule} {scores.mean('errors', rule, ahead, *key):.2f}"
                for rule in ("forecast", "last reading", "straight line")
            )
            inside = ", ".join(
                f"{share:.0%}: {scores.mean('hits', share, ahead, *key):.1%}" for share in SHARES
            )
            lines.append(f"  {ahead / 24:2.0f} days ahead: {errors}; {inside}")
    lines.append(
        f"jumps: {scores.found} of {scores.jumps} found, "
        f"{scores.false_alarms} false alarms in {scores.checks} checks"
    )
    return "\n".join(lines)


if __name__ == "__main__":
    given = [int(a) for a in sys.argv[1:]]
    print(report(trial(*(given + [12, 50][len(given) :]))))
