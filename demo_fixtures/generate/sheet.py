"""How the tension of a mesh behaves, well enough for a log that looks like one from a shop.

Tension falls with the logarithm of time since the last turn, less after each retension, and
a little with every print. A turn on both bars adds stiffness × 2 × pitch / span.
"""

from math import log, pi
from random import Random

MODULUS_N_PER_CM2 = 0.75e6  # polyester thread with its crimp
FIRST_LOSS = 0.42  # N/cm per e-fold of time: about 2 N/cm in the first night
SETTLED = 0.55  # what a retension leaves of the loss
BARE, COATED = 0.0, 0.6
SPOTS = {
    1: ((0.5, 0.5),),
    5: ((0.5, 0.5), (0.2, 0.2), (0.8, 0.2), (0.8, 0.8), (0.2, 0.8)),
}


class Sheet:
    def __init__(self, random: Random, mesh: dict, frame: dict) -> None:
        thread_cm = mesh["thread_um"] / 10_000
        stiffness = mesh["count_per_cm"] * pi * thread_cm**2 / 4 * MODULUS_N_PER_CM2
        self.random = random
        self.gain_x = stiffness * 2 * frame["pitch_mm"] / frame["inside_a_mm"]
        self.gain_y = stiffness * 2 * frame["pitch_mm"] / frame["inside_b_mm"]
        self.level_x = self.level_y = 1.0
        self.loss, self.slipping_per_day = FIRST_LOSS, 0.0
        self.turned_at, self.impressions = 0.0, 0
        self.pattern = [random.gauss(0, 0.25) for _ in SPOTS[5]]

    def tension(self, at: float) -> tuple[float, float]:
        """Along x and along y in N/cm, at a moment in minutes."""
        hours = max(at - self.turned_at, 0) / 60
        lost = self.loss * log(1 + hours / 0.1) + 0.3 * log(1 + self.impressions / 400)
        lost += self.slipping_per_day * hours / 24
        return self.level_x - lost, self.level_y - lost

    def turn(self, at: float, turns_x: float, turns_y: float) -> None:
        x, y = self.tension(at)
        self.level_x = x + turns_x * self.gain_x
        self.level_y = y + turns_y * self.gain_y
        self.turned_at, self.impressions = at, 0

    def settle(self) -> None:
        self.loss *= SETTLED

    def missing(self, at: float, target: float) -> tuple[float, float]:
        """Turns that bring both directions to the target."""
        x, y = self.tension(at)
        return (target - x) / self.gain_x, (target - y) / self.gain_y

    def foretold(self, at: float, turns_x: float, turns_y: float) -> list[dict]:
        """What a plan says that five spots will read: it knows the mesh a little too stiff."""
        x, y = self.tension(at)
        way = {
            "along_a": x + 1.06 * turns_x * self.gain_x,
            "across_a": y + 1.06 * turns_y * self.gain_y,
        }
        return [
            {"u": u, "v": v, **{name: _band(value + pattern) for name, value in way.items()}}
            for (u, v), pattern in zip(SPOTS[5], self.pattern, strict=True)
        ]

    def readings(
        self, at: float, spots: int, step: float, coated: bool, meter_off: float = 0.0
    ) -> list[dict]:
        x, y = self.tension(at)
        more = (COATED if coated else BARE) + meter_off
        return [
            {
                "u": u,
                "v": v,
                "along_a_n_per_cm": self._read(x + pattern + more, step),
                "across_a_n_per_cm": self._read(y + pattern + more, step),
            }
            for (u, v), pattern in zip(SPOTS[spots], self.pattern, strict=False)
        ]

    def _read(self, true: float, step: float) -> float:
        return round(round((true + self.random.gauss(0, 0.2)) / step) * step, 2)


def _band(value: float) -> dict[str, float]:
    return {"value": round(value, 2), "low": round(value - 1.1, 2), "high": round(value + 1.1, 2)}
