"""Screens of one shop: what happened to them, what two meters read, and what is true."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from frames.mechanics.relaxation import Seen, Segment, Step

from .laws import LAWS, Loss, Wear, wear

AHEAD_H = (24.0, 168.0, 720.0)
METERS = {"one": (0.25, 0.35), "two": (-0.4, 0.55)}  # bias and sd of a check, N/cm


@dataclass(frozen=True)
class Screen:
    """``segment`` up to now; ``law``; ``later``: hours ahead -> (impressions since the last turn,
    tension, reading of the meter used last); ``jumps``: (index of check, N/cm, lasting)."""

    segment: Segment
    law: str
    later: dict[float, tuple[int, float, float]]
    jumps: tuple[tuple[int, float, bool], ...]

    @property
    def now_h(self) -> float:
        """When the forecast is made: just after the last check."""
        return self.segment.seen[-1].at_h


@dataclass(frozen=True)
class Cloth:
    """What one mesh of the shop does."""

    name: str
    target: float
    law: str
    lost: Loss
    wear: Wear


def simulate(seed: int, count: int, one_law: str | None = None) -> list[Screen]:
    """Screens of one shop with four kinds of mesh, each relaxing by a law of its own."""
    r = np.random.default_rng(seed)
    cloths = [_cloth(r, f"mesh {i}", one_law) for i in range(4)]
    return [_screen(r, cloths[r.integers(4)]) for _ in range(count)]


def _cloth(r: np.random.Generator, name: str, one_law: str | None) -> Cloth:
    law = one_law or str(r.choice(list(LAWS)))
    return Cloth(name, float(r.choice([18, 20, 22, 25, 28])), law, LAWS[law](r), wear(r))


class Truth:
    """Tension of one screen in the course of time; asked in order."""

    def __init__(self, r: np.random.Generator, cloth: Cloth, retensions: int) -> None:
        self.r, self.cloth = r, cloth
        self.amount = 0.65**retensions * float(np.exp(r.normal(0, 0.18)))
        self.wear = Wear(cloth.wear.per_thousand * np.exp(r.normal(0, 0.25)), cloth.wear.power)
        self.start = cloth.target * float(r.normal(1.05, 0.04))
        self.moved, self.emulsion, self.at = 0.0, 0.0, 0.0

    def now(self) -> float:
        lost = self.amount * float(self.cloth.lost(np.array(self.at)))
        return self.start * (1 - lost) + self.moved + self.emulsion

    def until(self, at_h: float) -> None:
        """Now and then a shock frees a few threads."""
        shocks = self.r.poisson((at_h - self.at) / 24 / 25)
        self.moved -= float(self.r.uniform(0.05, 0.4, shocks).sum())
        self.at = at_h

    def print(self, count: int) -> None:
        before = self.now()
        self.moved += self.wear.after(before, self.cloth.target, count) - before

    def step(self, kind: str) -> None:
        if kind == "washed":
            self.moved -= self.r.uniform(0.1, 0.6)
        elif kind == "coated":
            self.emulsion = self.r.uniform(0.5, 2.0)
        else:
            self.emulsion = 0.0
            self.moved -= self.r.uniform(0.2, 1.2)


def _screen(r: np.random.Generator, cloth: Cloth) -> Screen:
    retensions = int(r.integers(0, 4))
    truth = Truth(r, cloth, retensions)
    seen, steps, printed, jumps = [], [], [], []
    coated = False
    usual = str(r.choice(list(METERS), p=[0.7, 0.3]))
    times = _times(r)
    jump_at = int(r.integers(1, len(times))) if r.random() < 0.08 and len(times) > 2 else -1
    for i, at in enumerate(times):
        if i > 1 and r.random() < 0.5:
            between = times[i - 1] + (at - times[i - 1]) * r.uniform(0.2, 0.8)
            truth.until(between)
            coated = _work(r, truth, between, coated, steps, printed)
        truth.until(at)
        if i == jump_at:
            size = float(r.choice([-1, -1, -1, 1]) * r.uniform(2.5, 6.0))
            truth.moved += size
            jumps.append((i, size, True))
        wrong = 0.0
        if r.random() < 0.012 and i:
            wrong = float(r.choice([-1, 1]) * r.uniform(3.0, 6.0))
            jumps.append((i, wrong, False))
        meter = usual if r.random() < 0.8 else str(r.choice(list(METERS)))
        seen.append(Seen(at, _read(r, truth.now(), meter) + wrong, METERS[meter][1], coated, meter))
    segment = Segment(cloth.name, cloth.target, retensions, seen, steps, printed)
    return Screen(segment, cloth.law, _later(r, truth, segment), tuple(jumps))


def _times(r: np.random.Generator) -> list[float]:
    """Checks soon after the turns, next morning, then with gaps of days to weeks."""
    times = [r.uniform(0.08, 0.5)]
    if r.random() < 0.7:
        times.append(r.uniform(14, 40))
    for _ in range(r.integers(0, 9)):
        times.append(times[-1] + 24 * r.exponential(7) + 2)
    return [float(t) for t in times]


def _work(
    r: np.random.Generator, truth: Truth, at: float, coated: bool, steps: list, printed: list
) -> bool:
    """A bare screen is coated or washed, a coated one prints or is reclaimed."""
    if coated and r.random() < 0.65:
        count = int(np.exp(r.uniform(4.5, 8)))
        truth.print(count)
        printed.append((at, count))
        return True
    kind = "reclaimed" if coated else str(r.choice(["coated", "washed"], p=[0.7, 0.3]))
    truth.step(kind)
    steps.append(Step(at, kind))
    return kind == "coated"


def _read(r: np.random.Generator, tension: float, meter: str) -> float:
    bias, sd = METERS[meter]
    return float(np.clip(round(2 * (tension + bias + r.normal(0, sd))) / 2, 0, 150))


def _later(r: np.random.Generator, truth: Truth, segment: Segment) -> dict:
    """What is true and read ahead; half of the coated screens print in the first and third week."""
    made, start, meter = segment.impressions, segment.seen[-1].at_h, segment.seen[-1].meter
    prints = segment.seen[-1].coated and r.random() < 0.5
    out = {}
    for ahead in AHEAD_H:
        truth.until(start + ahead)
        if prints and ahead > 24:
            count = int(np.exp(r.uniform(4.5, 8)))
            truth.print(count)
            made += count
        out[ahead] = (made, truth.now(), _read(r, truth.now(), meter))
    return out
