"""What the whole shop's screens teach about each: a linear mixed model, fitted over all segments.

Fixed: the usual curve, how much it shrinks with each retension, how each mesh differs, how each
meter reads. Random per segment: its own curve, and what wanders. Variances by the
minorise-maximise rule for variance components, with heavy tails by the weights of the multivariate
t distribution.

Sources: H. Zhou, L. Hu, J. Zhou, K. Lange, MM algorithms for variance components models, 2019;
J. Pinheiro, C. Liu, Y. Wu, Efficient algorithms for robust estimation in linear mixed-effects
models using the multivariate t distribution, 2001 (both from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from .relaxation import (
    COLUMNS,
    WANDERING,
    Rows,
    Segment,
    curve,
    rows_of,
    wandering,
)

FREEDOM = 6.0  # degrees of freedom of a segment's departure from the pooled curve
MANY_RETENSIONS = 4
BELIEF = 4.0  # weight of a prior variance, in segments
# Prior mean and sd of the usual curve, and prior sd of one segment around it. 0.35 N/cm per unit of
# ln t is 20 -> 18 over a night; sizes of steps and of wear are common practice, no source.
USUAL = {
    "level": (0.3, 1.5, 1.5),
    "time": (0.35, 0.20, 0.10),
    "hour": (0.0, 0.10, 0.05),
    "day": (0.0, 0.15, 0.08),
    "week": (0.0, 0.15, 0.08),
    "prints": (0.30, 0.25, 0.15),
    "thousand": (0.0, 0.30, 0.15),
    "coat": (1.2, 0.8, 0.6),
    "coat_time": (0.0, 0.08, 0.04),
    "wash": (0.4, 0.3, 0.2),
    "reclaim": (0.7, 0.5, 0.4),
}
SHRINK = {"time": (-0.04, 0.03), "prints": (-0.03, 0.03)}  # per retension, up to MANY_RETENSIONS
MESH_SD = {"time": 0.06, "day": 0.06, "week": 0.06, "prints": 0.12, "thousand": 0.12, "coat": 0.4}
METER_SD = 0.5
WANDERING_SD = {
    "log_time_walk": 0.08,
    "day_walk": 0.04,
    "print_walk": 0.10,
    "step_scatter": 0.35,
    "tweak": 1.0,
    "rest": 0.15,
}


@dataclass(frozen=True)
class Pool:
    """What is usual in a shop.

    Parameters
    ----------
    names : of the fixed effects; ``mean`` (fixed,) and ``covariance`` (fixed, fixed) of them
    own : (len(COLUMNS),) variance of one segment's curve around the usual one
    wander : (len(WANDERING),) variances
    meshes, meters : known ones, each with columns of its own
    segments : how many it was learned from
    """

    names: tuple[str, ...]
    mean: np.ndarray
    covariance: np.ndarray
    own: np.ndarray
    wander: np.ndarray
    meshes: tuple[str, ...] = ()
    meters: tuple[str, ...] = ()
    segments: int = 0

    def fixed(self, segment: Segment, rows: Rows) -> np.ndarray:
        """(rows, fixed) columns of the fixed effects."""
        meters = [np.array([[float(m == meter)] for m in rows.meter]) for meter in self.meters]
        return np.hstack([curve(segment, rows) @ self._onto_curve(segment), *meters])

    def usual_curve(self, segment: Segment) -> tuple[np.ndarray, np.ndarray]:
        """(columns,) coefficients to expect of a segment, and their covariance."""
        onto = self._onto_curve(segment)
        n = onto.shape[1]
        return onto @ self.mean[:n], onto @ self.covariance[:n, :n] @ onto.T + np.diag(self.own)

    def of(self, segment: Segment) -> Usual:
        """The part that concerns one segment."""
        biases = {m: self.bias(m) for m in (None, *self.meters)}
        return Usual(*self.usual_curve(segment), self.wander, biases)

    def _onto_curve(self, segment: Segment) -> np.ndarray:
        """(columns, fixed) from fixed effects, meters left out, to this segment's coefficients."""
        unit = {name: row[:, None] for name, row in zip(COLUMNS, np.eye(len(COLUMNS)), strict=True)}
        often = min(segment.retensions, MANY_RETENSIONS)
        blocks = [np.eye(len(COLUMNS)), *(often * unit[n] for n in SHRINK)]
        for mesh in self.meshes:
            blocks += [float(mesh == segment.mesh) * unit[n] for n in MESH_SD]
        return np.hstack(blocks)

    def bias(self, meter: str | None) -> tuple[float, float]:
        """How far a meter reads off the others, and the variance of that; of None, any of them."""
        if not self.meters:
            return 0.0, 0.0
        first = len(self.mean) - len(self.meters)
        means, variances = self.mean[first:], np.diag(self.covariance)[first:]
        if meter in self.meters:
            i = self.meters.index(meter)
            return float(means[i]), float(variances[i])
        known = meter is None
        return float(means.mean()), float(np.var(means)) if known else METER_SD**2


@dataclass(frozen=True)
class Usual:
    """What a pool says about one segment, small enough to be kept beside it: coefficients to expect
    ``mean`` (columns,) and ``covariance``, variances ``wander``, and by meter its (bias, variance)
    in ``biases``, with None for any meter."""

    mean: np.ndarray
    covariance: np.ndarray
    wander: np.ndarray
    biases: dict[str | None, tuple[float, float]]

    def usual_curve(self, segment: Segment) -> tuple[np.ndarray, np.ndarray]:
        """(columns,) coefficients to expect, and their covariance."""
        return self.mean, self.covariance

    def bias(self, meter: str | None) -> tuple[float, float]:
        """How far a meter reads off the others, and the variance of that."""
        strange = (self.biases[None][0], METER_SD**2) if len(self.biases) > 1 else (0.0, 0.0)
        return self.biases.get(meter, strange)


def before_any_log() -> Pool:
    """The usual curve of PET mesh before this shop has logged anything.

    >>> before_any_log().segments
    0
    """
    return _prior((), ())


def _prior(meshes: tuple[str, ...], meters: tuple[str, ...]) -> Pool:
    names = [*COLUMNS, *(f"{n} per retension" for n in SHRINK)]
    mean = [USUAL[n][0] for n in COLUMNS] + [SHRINK[n][0] for n in SHRINK]
    sd = [USUAL[n][1] for n in COLUMNS] + [SHRINK[n][1] for n in SHRINK]
    for mesh in meshes:
        names += [f"{n} of {mesh}" for n in MESH_SD]
        sd += MESH_SD.values()
    names += [f"meter {m}" for m in meters]
    sd += [METER_SD] * len(meters)
    mean += [0.0] * (len(sd) - len(mean))
    return Pool(
        tuple(names),
        np.array(mean),
        np.diag(np.square(sd)),
        np.square([USUAL[n][2] for n in COLUMNS]),
        np.square([WANDERING_SD[n] for n in WANDERING]),
        meshes,
        meters,
    )


@dataclass(frozen=True)
class _Piece:
    """A segment ready to be fitted; the covariances in ``parts`` still lack their variances."""

    fixed: np.ndarray
    parts: np.ndarray
    noise: np.ndarray
    off_target: np.ndarray


def pool(segments: Sequence[Segment], rounds: int = 40) -> Pool:
    """The usual curve and its variances, learned from all segments with two checks or more.

    Parameters
    ----------
    segments : of all screens, live and ended
    rounds : of the iteration; forty settle it to a few percent of a variance

    >>> from .relaxation import Seen, log_time
    >>> seen = [Seen(t, 22 - 0.3 * float(log_time(t)), 0.3) for t in (0.2, 24, 200)]
    >>> usual = pool([Segment("90-48", 20, 0, seen)] * 30)
    >>> bool(0.27 < usual.mean[1] + usual.mean[13] < 0.33)
    True
    """
    used = [s for s in segments if len(s.seen) > 1]
    meshes = tuple(sorted({s.mesh for s in used}))
    meters = tuple(sorted({c.meter for s in used for c in s.seen if c.meter}))
    prior = _prior(meshes, meters)
    pieces = [_piece(prior, s) for s in used]
    at = _Fit(prior.mean, prior.covariance, np.concatenate([prior.own, prior.wander]))
    for _ in range(rounds if used else 0):
        at = _better(pieces, prior, at)
    split = len(COLUMNS)
    return Pool(
        prior.names,
        at.mean,
        at.covariance,
        at.variances[:split],
        at.variances[split:],
        meshes,
        meters,
        len(used),
    )


def _piece(prior: Pool, segment: Segment) -> _Piece:
    rows = rows_of(segment)
    own = curve(segment, rows)
    outer = np.einsum("ik,jk->kij", own, own)
    noise = np.diag([s.sd**2 for s in segment.seen])
    parts = np.concatenate([outer, wandering(segment, rows)])
    return _Piece(prior.fixed(segment, rows), parts, noise, segment.off_target)


@dataclass(frozen=True)
class _Fit:
    mean: np.ndarray
    covariance: np.ndarray
    variances: np.ndarray


def _better(pieces: Sequence[_Piece], prior: Pool, at: _Fit) -> _Fit:
    """One round: fixed effects by generalised least squares, then each variance."""
    information = np.linalg.inv(prior.covariance)
    right = information @ prior.mean
    quadratic, trace = np.zeros(len(at.variances)), np.zeros(len(at.variances))
    for p in pieces:
        inverse = np.linalg.inv(np.tensordot(at.variances, p.parts, 1) + p.noise)
        gap = inverse @ (p.off_target - p.fixed @ at.mean)
        distance = (p.off_target - p.fixed @ at.mean) @ gap
        weight = (FREEDOM + len(gap)) / (FREEDOM + distance)
        information = information + weight * p.fixed.T @ inverse @ p.fixed
        right = right + weight * p.fixed.T @ (inverse @ p.off_target)
        quadratic += weight * np.einsum("i,kij,j->k", gap, p.parts, gap)
        trace += np.einsum("kij,ji->k", p.parts, inverse)
    covariance = np.linalg.inv(information)
    start = np.concatenate([prior.own, prior.wander])
    top = at.variances**2 * quadratic + BELIEF * start
    variances = np.sqrt(top / (trace + BELIEF / at.variances))
    return _Fit(covariance @ right, covariance, variances)
