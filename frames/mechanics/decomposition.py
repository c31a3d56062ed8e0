"""What moved: shift, rotation, stretch, skew, and what these marks cannot tell."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from frames.wording import mark, say

from .faults import InputFault
from .layout import Layout
from .marks import Mark
from .views import centred_mm

NAMES = ("shift_x", "shift_y", "rotation", "stretch_x", "stretch_y", "skew")
WORDS = {
    "shift_x": mark("shift along A"),
    "shift_y": mark("shift across A"),
    "rotation": mark("twist"),
    "stretch_x": mark("long or short along A"),
    "stretch_y": mark("long or short across A"),
    "skew": mark("out of square"),
}
PRIOR_MM = 3.0  # far wider than any register error; only settles what the marks leave open
OPEN_SHARE = 0.1  # a finger never hits the middle of the frame: a trace of a part left open is told


@dataclass(frozen=True)
class Decomposition:
    """Errors of register in parts.

    ``values`` and ``sd`` (6,) in the order of `NAMES`: shifts in mm at the middle of the frame,
    rotation (anticlockwise), stretches and skew in mm per m; ``rest_mm`` (n, 2) what is left at
    each mark; ``rest_rms_mm``; ``cannot_tell`` parts that number and place of the marks leave open,
    given as zero as far as the marks allow.
    """

    values: np.ndarray
    sd: np.ndarray
    rest_mm: np.ndarray
    rest_rms_mm: float
    cannot_tell: tuple[str, ...]

    def part(self, name: str) -> float:
        """One part by its name in `NAMES`."""
        return float(self.values[NAMES.index(name)])

    @property
    def message(self) -> str:
        """What the marks cannot tell, in words; empty if they tell everything."""
        if not self.cannot_tell:
            return ""
        return say("These marks cannot tell: {0}.", ", ".join(WORDS[n] for n in self.cannot_tell))


def affine_rows(layout: Layout, places: object) -> np.ndarray:
    """(2n, 6) displacement (all x, then all y) per unit of each part at places."""
    x, y = (centred_mm(layout, places) / 1000).T
    zero, one = np.zeros_like(x), np.ones_like(x)
    along = np.stack([one, zero, -y, x, zero, y / 2], axis=1)
    across = np.stack([zero, one, x, zero, y, x / 2], axis=1)
    return np.concatenate([along, across])


def decompose(layout: Layout, marks: Sequence[Mark]) -> Decomposition:
    """Least squares of shift, rotation, stretch and skew on the marks.

    dx = sx - r Y + ex X + g Y / 2 and dy = sy + r X + ey Y + g X / 2, X and Y in m from the middle,
    small angles. A very wide prior picks the smallest parts where the marks leave a choice.

    >>> frame = Layout.evenly(1000, 1000, 5, 5)
    >>> d = decompose(frame, [Mark(0.15, 0.5, 0.3, 0.0), Mark(0.85, 0.5, -0.3, 0.0)])
    >>> round(d.part("stretch_x"), 2), d.cannot_tell
    (-0.86, ('rotation', 'stretch_y', 'skew'))
    """
    if not marks:
        raise InputFault("marks", "none", say("Enter at least one mark."))
    places = [(m.u, m.v) for m in marks]
    rows = affine_rows(layout, places)
    values = np.array([m.dx_mm for m in marks] + [m.dy_mm for m in marks])
    sd = np.tile([m.sd_mm for m in marks], 2)
    reach = np.array([1.0, 1.0, *[2000 / (layout.inside_a_mm + layout.inside_b_mm)] * 4])
    prior = (PRIOR_MM * reach) ** -2.0
    information = (rows / sd[:, None] ** 2).T @ rows + np.diag(prior)
    covariance = np.linalg.inv(information)
    x = covariance @ (rows / sd[:, None] ** 2).T @ values
    rest = (values - rows @ x).reshape(2, -1).T
    open_ = _open(rows)
    rms = float(np.sqrt((rest**2).sum(axis=1).mean()))
    return Decomposition(x, np.sqrt(np.diag(covariance)), rest, rms, open_)


def _open(rows: np.ndarray) -> tuple[str, ...]:
    """Parts that have more than a trace in the null space of the rows."""
    _, s, vt = np.linalg.svd(rows, full_matrices=True)
    rank = int(np.sum(s > 1e-9 * s[0]))
    null = vt[rank:]
    share = np.sqrt((null**2).sum(axis=0)) if len(null) else np.zeros(6)
    return tuple(n for n, k in zip(NAMES, share, strict=True) if k > OPEN_SHARE)
