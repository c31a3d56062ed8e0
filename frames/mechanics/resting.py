"""What time does to the estimate of a screen that nobody turns."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from .faults import LONGEST_H, number
from .state import State

# Shares of the tension per e-fold of the time since the last turn: common practice, no source
LOST, LOST_SD = 0.008, 0.012
SOON_H = 0.25
HANDLED_SD = 0.4  # N/cm that one washing, coating or reclaim may shift the tension


def after_rest(state: State, from_h: float, to_h: float, handled: int = 0) -> State:
    """The state after a rest: tension falls with the logarithm of time, nobody knows how fast.

    Bars and turns stay. Between 15 minutes and a day a mesh loses about 4 % here, give or take 5.

    Parameters
    ----------
    from_h, to_h : hours since the last turn, at the start and at the end of the rest
    handled : how often it was washed, coated or reclaimed meanwhile

    >>> from .layout import Layout
    >>> from .cloth import Mesh
    >>> from .strip import Strip
    >>> from .state import begin
    >>> s = begin(Strip(Layout.evenly(1000, 1000, 4, 4), Mesh(1000, 1000)), level_n_per_cm=20)
    >>> after_rest(s, 0, 24).tension([(0.5, 0.5)]).round(2)
    array([[19.27, 19.27]])
    """
    start = number("from_h", from_h, 0, LONGEST_H, "Enter the hours since the last turn")
    end = number("to_h", max(to_h, start), 0, LONGEST_H, "Enter the hours since the last turn")
    folds = float(np.log((end + SOON_H) / (start + SOON_H)))
    level = state.tension(state.layout.grid(7)).mean(axis=0)
    k, basis = state.basis.size, state.basis
    mean, noise = state.mean.copy(), np.zeros(len(state.mean))
    uneven = np.where(basis.waves.sum(axis=1) > 0, basis.sd, 0.0)
    for axis in (0, 1):
        mean[axis * k] -= LOST * folds * level[axis]
        noise[axis * k : (axis + 1) * k] = (state.doubt.restless * folds * uneven) ** 2
        noise[axis * k] += (LOST_SD * folds * level[axis]) ** 2 + handled * HANDLED_SD**2
    return replace(state, mean=mean, covariance=state.covariance + np.diag(noise))
