"""What is believed about one screen: unevenness, stiffness factors, drift, place of its bars."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

import numpy as np

from frames.wording import say

from .bolts import Bolt
from .contact import Settled, nip_up, settle
from .faults import CONTRADICT, InputFault, number
from .layout import Layout, as_places
from .membrane import Membrane
from .odd_reading import odd_reading
from .readings import Reading, table
from .strip import Strip
from .uneven import Unevenness

FACTORS = ("factor_x", "factor_y", "drift_x", "drift_y")
# A log may hold entries that cannot all be true. What is believed stays within what a frame can be,
# or one contradiction after the other would drive it beyond what can be reckoned with.
WIDEST = 30.0  # times the doubt before any reading
HIGHEST_N_PER_CM = 300.0  # of which a round takes its share
DRIFT = (-0.1, 0.3)  # share of the tension lost per round
FARTHEST_MM = 200.0  # that a bolt can have drawn its bar


@dataclass(frozen=True)
class Doubt:
    """How far measurements and handling may be off.

    meter_n_per_cm : sd of one reading; resolution_n_per_cm : step it is rounded to; wrench : sd of
    a turn as a fraction of it; factor : sd of the stiffness factors at the start; drift, drift_sd :
    tension lost per round as a fraction, and its sd; model : error of a predicted change, as a
    fraction of it; restless : sd of slow changes per round, as a fraction of the prior; level : sd
    of the mean tension per round beyond that, as a fraction of it; factor_walk : sd by which the
    stiffness factors change per round.
    """

    meter_n_per_cm: float = 0.4
    resolution_n_per_cm: float = 0.5
    wrench: float = 0.05
    factor: float = 0.25
    drift: float = 0.015
    drift_sd: float = 0.015
    model: float = 0.04
    restless: float = 0.02
    level: float = 0.003
    factor_walk: float = 0.005

    def __post_init__(self) -> None:
        number("meter_n_per_cm", self.meter_n_per_cm, 0.01, 10, "Enter the meter's scatter in N/cm")
        number("resolution_n_per_cm", self.resolution_n_per_cm, 0, 5, "Enter the meter's step")
        for name in ("wrench", "factor", "drift_sd", "model", "restless", "level", "factor_walk"):
            number(name, getattr(self, name), 0, 1, "Enter a fraction")

    @property
    def reading_sd(self) -> float:
        """Standard deviation of one reading with its rounding, N/cm."""
        return float(np.hypot(self.meter_n_per_cm, self.resolution_n_per_cm / np.sqrt(12)))


@dataclass(frozen=True)
class Surprise:
    """How far readings lay from prediction.

    ``ratio`` mean squared standardised gap (1 expected); ``worst`` standardised gap of the worst
    reading; ``worst_row`` its row in the reading table; ``message`` in words, empty if nothing odd.
    """

    ratio: float
    worst: float
    worst_row: int
    message: str


@dataclass(frozen=True)
class State:
    """Mean and covariance of the estimate, and the bars.

    ``mean`` (2 size + 4,): cosine coefficients of tension in x, in y (N/cm), then the stiffness
    factors in x and y and the drift per round in x and y. ``bar_mm``, ``draw_mm`` (bolts,): bar
    position and bolt draw, outward from where they were when the mesh was locked in. ``trusted``
    says whether the turns known are all the turns given. ``caution`` (0.25 to 1) scales the turns
    of the next plan: halved when readings are not what was expected, doubled when they are.
    """

    model: Strip | Membrane
    bolt: Bolt
    basis: Unevenness
    doubt: Doubt
    mean: np.ndarray
    covariance: np.ndarray
    bar_mm: np.ndarray
    draw_mm: np.ndarray
    rounds: int = 0
    trusted: bool = True
    caution: float = 1.0
    surprise: Surprise | None = field(default=None)

    @property
    def layout(self) -> Layout:
        """The frame."""
        return self.model.layout

    @cached_property
    def strip(self) -> Strip:
        """The strip model of the same frame, which carries the bars on their bolts."""
        return self.model if isinstance(self.model, Strip) else Strip(self.layout, self.model.mesh)

    @property
    def factors(self) -> np.ndarray:
        """(2,) stiffness factors in x and y."""
        return self.mean[-4:-2]

    def rows(self, places: object, bar_mm: np.ndarray | None = None) -> np.ndarray:
        """(2n, states) linear map from the state to tension at places, all x then all y."""
        at = as_places(places)
        w = self.bar_mm if bar_mm is None else bar_mm
        driven = self.model.tension(at) @ w
        n, k = len(at), self.basis.size
        out = np.zeros((2 * n, 2 * k + 4))
        for axis in (0, 1):
            block = slice(axis * n, (axis + 1) * n)
            out[block, axis * k : (axis + 1) * k] = self.basis.basis(at, axis)
            out[block, 2 * k + axis] = driven[:, axis]
        return out

    def tension(self, places: object) -> np.ndarray:
        """Estimated tension now, (n, 2), N/cm: x then y."""
        return (self.rows(places) @ self.mean).reshape(2, -1).T

    def tension_sd(self, places: object) -> np.ndarray:
        """Standard deviation of `tension`, (n, 2), N/cm, meter not included."""
        h = self.rows(places)
        return np.sqrt(np.einsum("ij,jk,ik->i", h, self.covariance, h)).reshape(2, -1).T

    def influence(self, places: object) -> np.ndarray:
        """Change of tension per mm of bar with the factors learned, (n, 2, bolts), N/cm per mm."""
        return self.model.tension(places) * self.factors[None, :, None]


def begin(
    model: Strip | Membrane,
    bolt: Bolt | None = None,
    doubt: Doubt | None = None,
    basis: Unevenness | None = None,
    factors: Sequence[float] = (1.0, 1.0),
    factor_sd: Sequence[float] | None = None,
    level_n_per_cm: float = 15.0,
) -> State:
    """A screen just locked in, of which nothing has been read.

    Parameters
    ----------
    model : `Strip` or `Membrane`
    bolt, doubt, basis : see there; defaults if left out
    factors, factor_sd : (2,) stiffness factors in x and y learned elsewhere, with their sd
    level_n_per_cm : guess of the tension, which the first reading overrules

    >>> from .cloth import Mesh
    >>> s = begin(Strip(Layout.evenly(1000, 1000, 5, 5), Mesh(1000, 1000)))
    >>> s = after_readings(s, [Reading(0.5, 0.5, 10.0, 12.0)])
    >>> s.tension([(0.5, 0.5)]).round(1)
    array([[10., 12.]])
    """
    doubt, basis = doubt or Doubt(), basis or Unevenness()
    n = model.layout.count
    sd = [doubt.factor] * 2 if factor_sd is None else list(factor_sd)
    mean = np.concatenate([np.zeros(2 * basis.size), factors, [doubt.drift] * 2])
    mean[[0, basis.size]] = number("level_n_per_cm", level_n_per_cm, 0, 150, "Enter a tension")
    spread = np.concatenate([basis.sd, basis.sd, sd, [doubt.drift_sd] * 2])
    zeros = np.zeros(n)
    return State(model, bolt or Bolt(), basis, doubt, mean, np.diag(spread**2), zeros, zeros)


def move(
    state: State, turns: np.ndarray, turnable: np.ndarray, broken: np.ndarray | None = None
) -> Settled:
    """Where the bars rest after turns (bolts,), before nipping up.

    Bars and mesh at rest on one-way bolts, starting from the tension estimated now; an `InputFault`
    where none is found.
    """
    layout = state.layout
    strip = state.strip
    springs = strip.spring
    pull = strip.pull(state.tension) - springs @ state.bar_mm
    draw = _drawn(state, turns, turnable)
    held = None if broken is None else ~broken
    rest = settle(strip.bending + springs, pull, draw, layout.names, held)
    if rest.status != "optimal":
        raise InputFault("bolts", rest.status, say(CONTRADICT))
    return rest


def _drawn(state: State, turns: np.ndarray, turnable: np.ndarray) -> np.ndarray:
    """Draws after taking up what hangs loose, and the turns."""
    taken_up = nip_up(state.draw_mm, state.bar_mm, turnable)
    return _in_reach(taken_up + turns * state.bolt.pitch_mm)


def _in_reach(mm: np.ndarray) -> np.ndarray:
    return np.clip(mm, -FARTHEST_MM, FARTHEST_MM)


def after_turns(
    state: State,
    turns: np.ndarray | Mapping[str, float],
    turnable: np.ndarray | None = None,
    broken: np.ndarray | None = None,
    nipped: Mapping[str, float] | None = None,
) -> State:
    """The state after a round of turns and nipping up.

    Parameters
    ----------
    turns : (bolts,) turns, + tightens, or by bolt name
    turnable : (bolts,) bool, which bolts can be nipped up; default all
    broken : (bolts,) bool, bolts that hold nothing
    nipped : turns by which loose bolts were taken up, by name, if they were counted; else the bars
        are taken to be where the model says
    """
    layout = state.layout
    t = layout.vector(turns) if isinstance(turns, Mapping) else np.asarray(turns, float)
    can = np.ones(layout.count, bool) if turnable is None else turnable
    pulled = _drawn(state, t, can)
    if nipped is None:
        bar = move(state, t, can, broken).bar_mm
    else:
        pulled = _in_reach(pulled + layout.vector(nipped) * state.bolt.pitch_mm)
        bar = _on_bolts(state, pulled, can)
    bar = _in_reach(bar)
    moved = replace(state, bar_mm=bar, draw_mm=nip_up(pulled, bar, can))
    return _let_time_pass(moved, state, t)


def _on_bolts(state: State, pulled: np.ndarray, bears: np.ndarray) -> np.ndarray:
    """Bars that rest on every bolt in ``bears``; elsewhere of least energy, never inside a bolt."""
    bar = pulled.copy()
    if not bears.all():
        k = state.strip.bending + state.strip.spring + 1e-5 * np.eye(len(bar))
        off = ~bears
        pushed = k[np.ix_(off, bears)] @ (pulled - state.bar_mm)[bears]
        lift = state.bar_mm[off] - np.linalg.solve(k[np.ix_(off, off)], pushed)
        bar[off] = np.maximum(lift, pulled[off])
    return bar


def _let_time_pass(moved: State, before: State, turns: np.ndarray) -> State:
    """Relaxation, wrench error and model error of one round added to the estimate."""
    doubt, basis, k = before.doubt, before.basis, before.basis.size
    grid = before.layout.grid(7)
    level = moved.tension(grid).mean(axis=0)
    change = (moved.tension(grid) - before.tension(grid)).mean(axis=0)
    mean, f = moved.mean.copy(), np.eye(len(before.mean))
    drift = np.clip(mean[-2:], *DRIFT)
    lost = np.clip(level, -HIGHEST_N_PER_CM, HIGHEST_N_PER_CM)
    for axis in (0, 1):
        f[axis * k, 2 * k + 2 + axis] = -lost[axis]
        mean[axis * k] -= lost[axis] * drift[axis]
    noise = np.zeros(len(before.mean))
    uneven = np.where(basis.waves.sum(axis=1) > 0, basis.sd, basis.slope_sd)
    for axis in (0, 1):
        scale = doubt.restless + doubt.model * abs(change[axis])
        noise[axis * k : (axis + 1) * k] = (scale * uneven) ** 2
        noise[axis * k] += (doubt.level * level[axis]) ** 2
    noise[-4:-2] = doubt.factor_walk**2
    q = np.diag(noise) + _wrench(before, grid, turns)
    return replace(
        moved,
        mean=mean,
        covariance=f @ moved.covariance @ f.T + q,
        rounds=before.rounds + 1,
    )


def _wrench(state: State, grid: np.ndarray, turns: np.ndarray) -> np.ndarray:
    """Covariance that turning errors leave in the coefficients."""
    k, influence = state.basis.size, state.influence(grid)
    stacked = np.zeros((len(state.mean), state.layout.count))
    for axis in (0, 1):
        part = state.basis.project(grid, influence[:, axis], axis)
        stacked[axis * k : (axis + 1) * k] = part
    error = state.doubt.wrench * np.abs(turns) * state.bolt.pitch_mm
    return (stacked * error**2) @ stacked.T


def after_readings(state: State, readings: Sequence[Reading]) -> State:
    """The state after readings, by the linear maximum a posteriori (Kalman) update.

    If the readings lie far outside what was predicted, the old covariance is widened first, so that
    the readings win; `State.surprise` then says so and `State.trusted` falls. One reading that
    does not fit the others makes the next plan careful.
    """
    rows = table(readings)
    n = len(rows)
    if not n:
        return state
    h = state.rows(rows.places)[rows.direction * n + np.arange(n)]
    gap = rows.value - h @ state.mean
    noise = np.eye(n) * state.doubt.reading_sd**2
    surprise = _surprise(state, h, gap, noise, rows.places)
    far = bool(surprise.message)
    covariance = _widened(state, surprise.ratio) if surprise.ratio > _limit(n) else state.covariance
    s = h @ covariance @ h.T + noise
    gain = np.linalg.solve(s, h @ covariance).T
    keep = np.eye(len(state.mean)) - gain @ h
    return replace(
        state,
        mean=state.mean + gain @ gap,
        covariance=keep @ covariance @ keep.T + gain @ noise @ gain.T,
        surprise=surprise,
        trusted=bool(state.trusted and not (state.rounds and surprise.ratio > _limit(n))),
        caution=max(0.25, state.caution / 2) if far else min(1.0, state.caution * 2),
    )


def _widened(state: State, ratio: float) -> np.ndarray:
    """The covariance times ``ratio``, but nowhere beyond `WIDEST`."""
    doubt, basis = state.doubt, state.basis
    first = [*basis.sd, *basis.sd, *[doubt.factor] * 2, *[doubt.drift_sd] * 2]
    most = (WIDEST * np.array(first)) ** 2 / np.maximum(np.diag(state.covariance), 1e-12)
    return state.covariance * max(1.0, min(ratio, float(most.min())))


def _limit(n: int) -> float:
    """99.5 % point of a chi-square over its n degrees of freedom (Wilson and Hilferty's cube)."""
    return (1 - 2 / (9 * n) + 2.576 * np.sqrt(2 / (9 * n))) ** 3


def _surprise(
    state: State, h: np.ndarray, gap: np.ndarray, noise: np.ndarray, places: np.ndarray
) -> Surprise:
    s = h @ state.covariance @ h.T + noise
    ratio = float(gap @ np.linalg.solve(s, gap) / len(gap))
    # each reading against what all the others say
    inverse = np.linalg.inv(s)
    alone = (inverse @ gap) / np.sqrt(np.diag(inverse))
    worst = int(np.argmax(np.abs(alone)))
    message = ""
    if abs(alone[worst]) > 4:
        message = odd_reading(*places[worst])
    elif ratio > _limit(len(gap)) and state.rounds:
        message = say(
            "The readings are far from what the known turns explain: wrong frame or meter, "
            "a turn that was not logged, or a lock that slipped?"
        )
    return Surprise(ratio, float(alone[worst]), worst, message)
