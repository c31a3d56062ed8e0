"""Shift and twist on the press's own adjusters, in the press's own terms."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from frames.wording import mark, say, written

from .faults import InputFault, number, one_of
from .layout import Layout
from .marks import Mark
from .rounding import whole
from .views import View, centred_mm


@dataclass(frozen=True)
class Adjuster:
    """One adjuster of a press, as the printer stands in front of it.

    Parameters
    ----------
    name : what the shop calls it
    right, away : where it acts, fractions of the frame to the right and away from the printer
        (outside 0 to 1 if it acts beyond the frame)
    moves : ``"right"`` or ``"away"``, the direction its plus side pushes the screen
    mm_per_division : travel per division (or per turn)
    plus : what plus is called on the press, e.g. ``"clockwise"``
    minus : what minus is called
    division : what a division is called, e.g. ``"turns"``
    smallest : smallest part of a division one can set
    backlash : divisions lost when the direction changes
    order : turned in rising order; twist first, then across, then along
    most : most divisions it can be moved either way
    """

    name: str
    right: float
    away: float
    moves: str
    mm_per_division: float
    plus: str = mark("plus")
    minus: str = mark("minus")
    division: str = mark("divisions")
    smallest: float = 0.5
    backlash: float = 0.0
    order: int = 0
    most: float = 1000.0

    def __post_init__(self) -> None:
        one_of("moves", self.moves, ("right", "away"), "Say which way plus pushes the screen")
        number("right", self.right, -2, 3, "Enter where it acts, as a fraction to the right")
        number("away", self.away, -2, 3, "Enter where it acts, as a fraction away from you")
        number("mm_per_division", self.mm_per_division, 1e-4, 50, "Enter its travel per division")
        number("smallest", self.smallest, 1e-3, 10, "Enter the smallest part of a division")
        number("backlash", self.backlash, 0, 1000, "Enter the backlash in divisions")
        number("most", self.most, 0, 1e6, "Enter the most divisions")


@dataclass(frozen=True)
class Adjustment:
    """What to do on the press.

    ``divisions`` adjuster name -> divisions, plus or minus; ``steps`` sentences in order;
    ``moved_mm`` (n, 2) how the marks move; ``shift_mm`` (2,) and ``rotation_mrad`` of the screen,
    about the middle of the frame; ``rest`` the marks after it; ``limited`` adjusters at the end of
    their travel.
    """

    divisions: dict[str, float]
    steps: tuple[str, ...]
    moved_mm: np.ndarray
    shift_mm: np.ndarray
    rotation_mrad: float
    rest: tuple[Mark, ...]
    limited: tuple[str, ...] = field(default=())


def adjust(
    layout: Layout, marks: Sequence[Mark], adjusters: Sequence[Adjuster], view: View | None = None
) -> Adjustment:
    """Take out what shift and twist these adjusters can, by weighted least squares on the marks.

    A rigid screen moves by t + r z x p; adjuster i moves its point by n_i . (t + r z x p_i). With
    fewer than three adjusters the screen moves the shortest way that fits the ones there are.

    >>> frame = Layout.evenly(1000, 1000, 5, 5)
    >>> across = Adjuster("side", 1.0, 0.5, "right", 0.1)
    >>> adjust(frame, [Mark(0.5, 0.5, 0.31, 0.0)], [across]).divisions
    {'side': -3.0}
    """
    if len({a.name for a in adjusters}) < len(adjusters):
        raise InputFault(
            "adjusters", say("same name twice"), say("Give every adjuster its own name.")
        )
    view = view or View()
    at = centred_mm(layout, [(m.u, m.v) for m in marks]) / 1000
    rigid = _rigid(at)
    lever = _levers(layout, adjusters, view)
    per_mm = np.linalg.pinv(lever, rcond=1e-9)
    mm = np.array([a.mm_per_division for a in adjusters])
    sd = np.tile([m.sd_mm for m in marks], 2)
    rows = rigid @ per_mm * mm
    error = np.array([m.dx_mm for m in marks] + [m.dy_mm for m in marks])
    divisions, *_ = np.linalg.lstsq(rows / sd[:, None], -error / sd, rcond=1e-9)
    smallest, most = (np.array([getattr(a, n) for a in adjusters]) for n in ("smallest", "most"))
    divisions = np.clip(whole(divisions / smallest) * smallest, -most, most)
    motion = per_mm @ (divisions * mm)
    moved = (rigid @ motion).reshape(2, -1).T
    rest = tuple(
        Mark(m.u, m.v, float(m.dx_mm + dx), float(m.dy_mm + dy), m.sd_mm)
        for m, (dx, dy) in zip(marks, moved, strict=True)
    )
    named = {a.name: float(d) + 0.0 for a, d in zip(adjusters, divisions, strict=True)}
    limited = tuple(a.name for a in adjusters if abs(named[a.name]) >= a.most)
    steps = _steps(adjusters, named)
    return Adjustment(named, steps, moved, motion[:2], float(motion[2]), rest, limited)


def _rigid(at_m: np.ndarray) -> np.ndarray:
    """(2n, 3) displacement in mm per mm of shift in x, in y, and per mrad of rotation."""
    x, y = at_m.T
    zero, one = np.zeros_like(x), np.ones_like(x)
    along, across = np.stack([one, zero, -y], axis=1), np.stack([zero, one, x], axis=1)
    return np.concatenate([along, across])


def _levers(layout: Layout, adjusters: Sequence[Adjuster], view: View) -> np.ndarray:
    """(k, 3) travel at each adjuster per unit of shift x, shift y, rotation."""
    rows = []
    for a in adjusters:
        point = centred_mm(layout, view.place([(a.right, a.away)])) / 1000
        n = view.direction(*((1, 0) if a.moves == "right" else (0, 1)))
        along, across = _rigid(point)
        rows.append(n[0] * along + n[1] * across)
    return np.array(rows).reshape(-1, 3)


def _steps(adjusters: Sequence[Adjuster], named: dict[str, float]) -> tuple[str, ...]:
    out = []
    for a in sorted(adjusters, key=lambda a: a.order):
        d = named[a.name]
        if not d:
            continue
        way = say(a.plus if d > 0 else a.minus)
        text = f"{a.name}: {written(abs(d), 'g')} {say(a.division)} {way}."
        if a.backlash and d < 0:
            back = mark("Go {0} further and come back, so that you end turning {1}.")
            text += " " + say(back, written(a.backlash, "g"), say(a.plus))
        elif a.backlash:
            text += " " + say("Take up its play of {0} first.", written(a.backlash, "g"))
        out.append(text)
    return (*out, say("Lock, then pull again.")) if out else ()
