"""How long a mesh lives, and whether two figures of a shop go together."""

from __future__ import annotations

import warnings
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from frames.wording import say

from .faults import InputFault


@dataclass(frozen=True)
class Life:
    """``median`` of the life, None while fewer than half have ended; ``low``, ``high`` of its 90 %
    band, each None if not reached; ``ended`` and ``living`` counts."""

    median: float | None
    low: float | None
    high: float | None
    ended: int
    living: int


def mesh_life(lasted: Sequence[float], ended: Sequence[bool]) -> Life:
    """Median life by the product-limit estimate: what still lives counts as long as it lived.

    Parameters
    ----------
    lasted : impressions, days or whatever was counted, one for each mesh
    ended : whether it ended there (burst), else it still lives or was taken off whole

    Source: E. Kaplan, P. Meier, Nonparametric estimation from incomplete observations, 1958 (from
    memory), as in scipy.stats.ecdf.

    >>> mesh_life([100, 200, 300, 400], [True, True, True, False]).median
    200.0
    """
    from scipy.stats import CensoredData, ecdf

    count, over = np.asarray(lasted, float), np.asarray(ended, bool)
    if len(count) != len(over) or np.any(count < 0):
        raise InputFault("lasted", len(count), say("Give one life of 0 or more for every mesh."))
    burst = int(over.sum())
    if not burst:
        return Life(None, None, None, 0, len(count))
    curve = ecdf(CensoredData(uncensored=count[over], right=count[~over])).sf
    with warnings.catch_warnings():
        # after the last has ended the band is not defined; it is not asked for there
        warnings.simplefilter("ignore", RuntimeWarning)
        band = curve.confidence_interval(0.9, method="log-log")
    median, low, high = (_half(part) for part in (curve, band.low, band.high))
    return Life(median, low, high, burst, len(count) - burst)


def _half(curve: object) -> float | None:
    """Where a survival curve first falls to one half."""
    below = np.flatnonzero(curve.probabilities <= 0.5)
    return float(curve.quantiles[below[0]]) if len(below) else None


def rank_correlation(x: Sequence[float], y: Sequence[float]) -> tuple[float, float] | None:
    """Spearman's rank correlation and its p-value; None for fewer than five pairs or no spread.

    >>> rank_correlation([1, 2, 3, 4, 5], [2, 4, 6, 8, 11])[0]
    1.0
    """
    from scipy.stats import spearmanr

    if len(x) != len(y):
        raise InputFault("x", len(x), say("Give as many of the one as of the other."))
    if len(x) < 5 or np.ptp(np.asarray(x, float)) == 0 or np.ptp(np.asarray(y, float)) == 0:
        return None
    found = spearmanr(x, y)
    return round(float(found.statistic), 9), float(found.pvalue)
