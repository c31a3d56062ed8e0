"""What the meter will show: a screen's own checks, on top of what is usual in the shop.

Everything is linear, so the answer is exact: a multivariate t distribution given the checks, whose
scale widens for a screen that departs from the usual by more than it should.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np

from .jumps import JUMP_SD, Shift, columns_of, next_shift
from .pooling import FREEDOM, Pool, Usual
from .relaxation import BENDS_H, COLUMNS, Rows, Segment, curve, rows_of, wandering

NOISE_SD = 0.5  # of a reading by a meter that nobody has studied (common practice)
MOST_SHIFTS = 4


def half_width(freedom: float, share: float) -> float:
    """Of the band that holds that share of Student's t distribution."""
    from scipy.special import stdtrit  # slow to import, and a server starts without a forecast

    return float(stdtrit(freedom, 0.5 + share / 2))


@dataclass(frozen=True)
class Band:
    """Expected tension and the band around it, N/cm; each (times,)."""

    mean: np.ndarray
    low: np.ndarray
    high: np.ndarray


@dataclass(frozen=True)
class Forecast:
    """A segment and what is known of its future; made by `forecast`.

    ``shifts``: jumps that the curve cannot explain, see `jumps`; ``held`` (rules, columns):
    slopes held at zero because tension does not rise by itself.
    """

    segment: Segment
    pool: Pool | Usual
    shifts: tuple[Shift, ...] = ()
    held: np.ndarray = field(default_factory=lambda: np.zeros((0, len(COLUMNS))))

    def ahead(
        self,
        at_h: object,
        impressions: object = None,
        coated: bool | None = None,
        meter: str | None = None,
        share: float = 0.8,
        noise_sd: float = NOISE_SD,
    ) -> Band:
        """What a meter will show at those hours since the last turn.

        Parameters
        ----------
        at_h : hours since the last turn, one or (times,)
        impressions : since the last turn by then; None: as many as now
        coated : emulsion on by then; None: as at the last check
        meter : which meter, None for any
        share : of readings inside the band; meter noise is included
        noise_sd : sd of a reading by meter and hand, N/cm; 0 for the tension itself
        """
        mean, scale, freedom = self.given(self.moments(at_h, impressions, coated, meter))
        reach = half_width(freedom, share) * np.sqrt(np.diag(scale) + noise_sd**2)
        return Band(mean, mean - reach, mean + reach)

    def moments(
        self,
        at_h: object,
        impressions: object = None,
        coated: bool | None = None,
        meter: str | None = None,
    ) -> Rows:
        """Later moments of this segment, see `ahead`."""
        at = np.atleast_1d(np.asarray(at_h, float))
        made = self.segment.impressions if impressions is None else impressions
        if coated is None:
            coated = bool(self.segment.seen and self.segment.seen[-1].coated)
        prints = np.broadcast_to(np.asarray(made, float), at.shape)
        return Rows(at, prints, np.full(len(at), coated), (meter,) * len(at))

    def given(self, later: Rows) -> tuple[np.ndarray, np.ndarray, float]:
        """Mean (times,), scale matrix and degrees of freedom of the tension at later moments."""
        then = slice(len(self.segment.seen), len(self.segment.seen) + len(later))
        known = np.r_[: then.start, then.stop : then.stop + len(self.held)]
        usual, joint = self._joint(later)
        values = np.r_[self.segment.off_target, np.zeros(len(self.held))]
        if not len(known):
            return usual + self.segment.target_n_per_cm, joint, FREEDOM
        across = joint[known, then]
        gain = np.linalg.solve(joint[np.ix_(known, known)], across).T
        mean = self.segment.target_n_per_cm + usual[then] + gain @ (values - usual[known])
        return mean, (joint[then, then] - gain @ across) * self._misfit(), FREEDOM + then.start

    def slopes(self) -> np.ndarray:
        """(rules, columns) rows times coefficients are losses that cannot be below zero: per unit
        of log time from now on, after every bend to come, and per unit of log impressions."""
        last = self.segment.last_h
        out = []
        for passed in range(len(BENDS_H) + 1):
            if passed == len(BENDS_H) or BENDS_H[passed] > last:
                row = np.zeros(len(COLUMNS))
                row[1 : 2 + passed] = 1
                out.append(row)
        prints = np.zeros((2, len(COLUMNS)))
        prints[:, 5], prints[1, 6] = 1, 1
        return np.array([*out, *prints])

    def curve_now(self) -> tuple[np.ndarray, np.ndarray]:
        """(columns,) coefficients given the checks, and their covariance."""
        unit = np.eye(len(COLUMNS))
        trial = replace(self, held=np.vstack([self.held, unit]))
        usual, joint = trial._joint(_none())
        first = len(self.segment.seen) + len(self.held)
        values = np.r_[self.segment.off_target, np.zeros(len(self.held))]
        gain = np.linalg.solve(joint[:first, :first], joint[:first, first:]).T
        mean = usual[first:] + gain @ (values - usual[:first])
        return mean, joint[first:, first:] - gain @ joint[:first, first:]

    def _misfit(self) -> float:
        """How much wider than usual: (v + d^2) / (v + n)."""
        usual, joint = self._joint(_none())
        n = len(self.segment.seen)
        gap = self.segment.off_target - usual[:n]
        distance = gap @ np.linalg.solve(joint[:n, :n], gap) if n else 0.0
        return float((FREEDOM + distance) / (FREEDOM + n))

    def _joint(self, later: Rows) -> tuple[np.ndarray, np.ndarray]:
        """Prior mean and covariance of checks, later moments and held slopes, in that order."""
        now = rows_of(self.segment)
        rows = now + later
        expected, doubt = self.pool.usual_curve(self.segment)
        columns = np.vstack([curve(self.segment, rows), self.held])
        bias = np.array([self.pool.bias(m) for m in rows.meter]).reshape(-1, 2)
        wander = np.tensordot(self.pool.wander, wandering(self.segment, rows), 1)
        wander = wander + _same_meter(rows) * bias[:, 1]
        moved = columns_of(self.shifts, len(now), len(later))
        wander = wander + JUMP_SD**2 * moved @ moved.T
        wander[: len(now), : len(now)] += np.diag([s.sd**2 for s in self.segment.seen])
        usual = columns @ expected
        usual[: len(rows)] += bias[:, 0]
        joint = columns @ doubt @ columns.T
        joint[: len(rows), : len(rows)] += wander
        joint[len(rows) :, len(rows) :] += 1e-9 * np.eye(len(self.held))
        return usual, joint


def _same_meter(rows: Rows) -> np.ndarray:
    """(rows, rows) whether two readings share a meter's bias."""
    same = np.array([[a == b and a is not None for b in rows.meter] for a in rows.meter], bool)
    return same.reshape(len(rows), len(rows)) | np.eye(len(rows), dtype=bool)


def _none() -> Rows:
    return Rows(np.zeros(0), np.zeros(0), np.zeros(0, bool), ())


def forecast(segment: Segment, pool: Pool | Usual) -> Forecast:
    """The future of a segment; jumps are found first and not averaged in.

    >>> from .pooling import before_any_log
    >>> from .relaxation import Seen
    >>> s = Segment("90-48", 22, 0, [Seen(0.2, 22.0), Seen(16, 20.5)])
    >>> band = forecast(s, before_any_log()).ahead([24.0, 24 * 30])
    >>> bool(band.mean[1] < band.mean[0] < 20.5), bool(band.low[0] > 18)
    (True, True)
    """
    found = Forecast(segment, pool)
    for _ in range(MOST_SHIFTS):
        usual, joint = found._joint(_none())
        shift = next_shift(segment.off_target - usual, joint, found.shifts)
        if shift is None:
            break
        found = replace(found, shifts=(*found.shifts, shift))
    return _never_rising(found)


def _never_rising(found: Forecast) -> Forecast:
    """Hold slopes at zero that the checks alone would put below it."""
    slopes = found.slopes()
    for _ in range(len(slopes)):
        worst = slopes @ found.curve_now()[0]
        if worst.min() >= -1e-6:
            break
        found = replace(found, held=np.vstack([found.held, slopes[worst.argmin()]]))
    return found
