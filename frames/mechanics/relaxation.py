"""How tension falls after the last turn: what is known of it, and the curve as a linear model.

T = T0 - a ln(1 + t/t0) - b ln(1 + n/n0), t hours and n impressions since the last turn. `t0` and
`n0` are fixed, so everything else is linear: a may change at one hour, one day and one week (real
mesh is not one straight line in log time), b at a thousand impressions; coating, washing and
reclaim are steps of their own. Losses are per 20 N/cm of target.

Sources: two slopes in log time with a break near 100 s, abstract at
http://fibtex.lodz.pl/article1370.html; tension drops overnight, with washing and with coating,
http://www.screenweb.com/content/pushing-limit?page=0%2C1; losses shrink with each pull,
http://www.screenweb.com/content/solving-mystery-screen-tension-loss?page=0%2C5.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np

from frames.wording import say

from .faults import LONGEST_H, InputFault, number, one_of

T0_H = 1 / 30  # two minutes: earlier readings follow another slope and are left out
N0 = 100.0
BENDS_H = (1.0, 24.0, 168.0)
BEND_IMPRESSIONS = 1000.0
PER_N_PER_CM = 20.0
STEPS = ("coated", "washed", "reclaimed", "tweaked")

CURVE = ("level", "time", "hour", "day", "week", "prints", "thousand")
STEP_COLUMNS = ("coat", "coat_time", "wash", "reclaim")
COLUMNS = (*CURVE, *STEP_COLUMNS)


@dataclass(frozen=True)
class Seen:
    """A tension check in one number.

    Parameters
    ----------
    at_h : hours since the last turn
    n_per_cm : mean of the readings, N/cm, taken dry and at room temperature
    sd : standard deviation of that mean by meter, hand and places, N/cm
    coated : emulsion on
    meter : which meter, or None
    """

    at_h: float
    n_per_cm: float
    sd: float = 0.5
    coated: bool = False
    meter: str | None = None

    def __post_init__(self) -> None:
        number("at_h", self.at_h, 0, LONGEST_H, "Enter hours since the last turn")
        number("n_per_cm", self.n_per_cm, 0, 150, "Enter what the meter shows in N/cm")
        number("sd", self.sd, 0.01, 20, "Enter how well the meter repeats in N/cm")


@dataclass(frozen=True)
class Step:
    """Something done to the mesh at ``at_h`` that moves tension at once: one of `STEPS`."""

    at_h: float
    kind: str

    def __post_init__(self) -> None:
        number("at_h", self.at_h, 0, LONGEST_H, "Enter hours since the last turn")
        one_of("kind", self.kind, STEPS, "Choose what was done")


@dataclass(frozen=True)
class Segment:
    """A screen from its last turn on.

    Parameters
    ----------
    mesh : name of the mesh; losses are pooled by it
    target_n_per_cm : the screen's target
    retensions : how often it has been retensioned
    seen : checks in order of time; those of the first two minutes are left out
    steps : what was done to the mesh, in order
    printed : (hours, impressions added), in order

    >>> Segment("90-48", 22, 0, [Seen(0.01, 23), Seen(0.5, 22)]).seen[0].n_per_cm
    22
    """

    mesh: str
    target_n_per_cm: float
    retensions: int = 0
    seen: Sequence[Seen] = ()
    steps: Sequence[Step] = ()
    printed: Sequence[tuple[float, int]] = field(default=())

    def __post_init__(self) -> None:
        number("target_n_per_cm", self.target_n_per_cm, 1, 150, "Enter the target in N/cm")
        number("retensions", self.retensions, 0, 1000, "Enter how often it was retensioned")
        later = tuple(s for s in self.seen if s.at_h >= T0_H)
        if any(a.at_h > b.at_h for a, b in pairwise(later)):
            raise InputFault("seen", "not in order", say("Sort the checks by time."))
        object.__setattr__(self, "seen", later)

    @property
    def tension(self) -> np.ndarray:
        """(checks,) tension, N/cm."""
        return np.array([s.n_per_cm for s in self.seen], float)

    @property
    def off_target(self) -> np.ndarray:
        """(checks,) tension less target, N/cm."""
        return self.tension - self.target_n_per_cm

    @property
    def last_h(self) -> float:
        """Hours of the last thing known."""
        times = [s.at_h for s in (*self.seen, *self.steps)] + [p[0] for p in self.printed]
        return max(times, default=0.0)

    @property
    def impressions(self) -> int:
        """Impressions since the last turn."""
        return sum(count for _, count in self.printed)


@dataclass(frozen=True)
class Rows:
    """Moments of one segment as arrays: hours, impressions so far, coated, meter name or None."""

    at_h: np.ndarray
    impressions: np.ndarray
    coated: np.ndarray
    meter: tuple[str | None, ...]

    def __len__(self) -> int:
        return len(self.at_h)

    def __add__(self, more: Rows) -> Rows:
        pairs = ((getattr(self, n), getattr(more, n)) for n in ("at_h", "impressions", "coated"))
        return Rows(*(np.concatenate(p) for p in pairs), self.meter + more.meter)


def rows_of(segment: Segment) -> Rows:
    """The moments of a segment's checks."""
    at = np.array([s.at_h for s in segment.seen], float)
    coated = np.array([s.coated for s in segment.seen], bool)
    return Rows(at, printed_by(segment, at), coated, tuple(s.meter for s in segment.seen))


def printed_by(segment: Segment, at_h: np.ndarray) -> np.ndarray:
    """(times,) impressions made by then."""
    when = np.array([p[0] for p in segment.printed], float)
    count = np.array([p[1] for p in segment.printed], float)
    return (when[None, :] <= at_h[:, None]) @ count if len(when) else np.zeros(len(at_h))


def log_time(at_h: object) -> np.ndarray:
    """ln(1 + t/t0).

    >>> round(float(log_time(24)), 2)
    6.58
    """
    return np.log1p(np.asarray(at_h, float) / T0_H)


def log_prints(impressions: object) -> np.ndarray:
    """ln(1 + n/n0)."""
    return np.log1p(np.asarray(impressions, float) / N0)


def curve(segment: Segment, rows: Rows) -> np.ndarray:
    """(rows, columns) of `COLUMNS`: times the coefficients it is tension less target.

    >>> s = Segment("90-48", 20, 0, [Seen(24, 20)])
    >>> curve(s, rows_of(s))[0, :3].round(2)
    array([ 1.  , -6.58, -3.15])
    """
    x, y = log_time(rows.at_h), log_prints(rows.impressions)
    scale = segment.target_n_per_cm / PER_N_PER_CM
    bends = [np.maximum(x - log_time(h), 0) for h in BENDS_H]
    beyond = np.maximum(y - log_prints(BEND_IMPRESSIONS), 0)
    losses = [-scale * v for v in (x, *bends, y, beyond)]
    coated = rows.coated.astype(float)
    since = np.maximum(x - log_time(_last(segment, "coated", rows.at_h)), 0)
    times = [_times(segment, kind, rows.at_h) for kind in ("washed", "reclaimed")]
    return np.stack(
        [np.ones(len(x)), *losses, coated, -coated * since, *(-scale * t for t in times)], axis=1
    )


def _last(segment: Segment, kind: str, at_h: np.ndarray) -> np.ndarray:
    """(times,) hours when that was last done before each, else the time itself."""
    out = at_h.astype(float).copy()
    for step in segment.steps:
        if step.kind == kind:
            out[at_h >= step.at_h] = step.at_h
    return out


def _times(segment: Segment, kind: str, at_h: np.ndarray) -> np.ndarray:
    """(times,) how often that was done before each."""
    at = np.array([s.at_h for s in segment.steps if s.kind == kind], float)
    return (at[None, :] <= at_h[:, None]).sum(axis=1).astype(float)


# How a check may depart from the curve: covariances of what wanders, per unit of variance.
WANDERING = ("log_time_walk", "day_walk", "print_walk", "step_scatter", "tweak", "rest")


def wandering(segment: Segment, rows: Rows) -> np.ndarray:
    """(len(WANDERING), rows, rows) covariances: random walks in log time, in days and in
    impressions, scatter of single steps, turns for register, and what is left in one check."""
    x, y, days = log_time(rows.at_h), log_prints(rows.impressions), rows.at_h / 24
    scale = segment.target_n_per_cm / PER_N_PER_CM
    walks = [scale**2 * np.minimum.outer(v, v) for v in (x, days, y)]
    after = [(s.kind, (rows.at_h >= s.at_h).astype(float)) for s in segment.steps]
    still = {"coated": rows.coated.astype(float)}
    steps = np.zeros((2, len(rows), len(rows)))
    for kind, v in after:
        v = v * still.get(kind, 1.0)
        steps[int(kind == "tweaked")] += np.outer(v, v)
    return np.stack([*walks, *steps, np.eye(len(rows))])
