"""What happens to one screen, told as a shop would tell it; keeps its own account of the facts."""

from collections import Counter
from typing import Any, Self

from demo_fixtures.generate.notebook import Notebook
from demo_fixtures.generate.sheet import Sheet
from demo_fixtures.generate.shop import MESHES, METERS, Book

Values = dict[str, Any]
ROUND_LIMIT = 96
MOST_ROUNDS = 12
READS_HIGH = {"old": 1.5}  # N/cm above the others; nobody has noticed


class Life:
    def __init__(self, book: Book, notes: Notebook, number: int, mesh: str) -> None:
        self.book, self.notes, self.number = book, notes, number
        self.frame = book.frame_values[number]
        self.mesh, self.mesh_name = MESHES[mesh], mesh
        self.sheet = Sheet(notes.random, self.mesh, self.frame)
        self.screen: str | None = None
        self.target = self.mesh["target_n_per_cm"]
        self.phone, self.who = "screen room tablet", "Ilka"
        self.at = 0.0
        self.last_check: Values = {}
        self.checked_at = 0.0
        self.turns: Counter[str] = Counter()
        self.register: Counter[str] = Counter()
        self.facts: Values = {
            "retensions": 0,
            "reclaims": 0,
            "impressions": 0,
            "stencil": "bare",
            "tweaks": 0,
            "ended": None,
        }

    def by(self, phone: str, who: str) -> Self:
        self.phone, self.who = phone, who
        return self

    def log(self, kind: str, payload: Values, at: float | None = None, **about: Any) -> Values:
        """Without a time it happens a few minutes after the last."""
        wait = self.notes.random.uniform(1.5, 4)
        self.at = self.at + wait if at is None else at + self.notes.random.uniform(0, 0.9)
        here = {"frame": self.book.frames[self.number], "screen": self.screen}
        return self.notes.write(
            kind,
            payload,
            at=self.at,
            phone=self.phone,
            operator=self.book.operators[self.who],
            number=self.number,
            **(here | about),
        )

    def fit(self, at: float, *, stretch: bool = True, **more: Any) -> Self:
        """Mesh on, stretched in rounds to its target, with a last look at five spots."""
        payload = {
            "mesh": self.book.meshes[self.mesh_name],
            "warp": "y",
            "target_n_per_cm": self.target,
            "tolerance_n_per_cm": self.mesh["tolerance_n_per_cm"],
            "second_hand": False,
        }
        self.screen = self.log("mesh_fitted", payload | more, at)["id"]
        self.sheet.turned_at = self.at
        if stretch:
            self.stretch("stretch", self.target + 0.8)
            self.log("nipped_up", {"bolts": self.turned({"A1": 8, "C1": 8})})
            self.check(self.at + 10)
        return self

    def stretch(self, purpose: str, target: float) -> int:
        """Rounds of at most two turns; the end bolts stay in the first. How many there were.

        A retension is planned from readings, a first stretch goes by feel.
        """
        for round_ in range(MOST_ROUNDS):
            if purpose == "retension":
                self.check(self.at + 1)
            x, y = (self._step(turns) for turns in self.sheet.missing(self.at, target))
            if max(x, y) <= (2 * self.frame["step_48ths"] if round_ else 0):
                return round_
            sides = {"A": y, "B": x, "C": y, "D": x}
            first = purpose == "stretch" and round_ == 0
            bolts = {
                bolt: sides[bolt[0]]
                for bolt in self.bolts(without_ends=first)
                if sides[bolt[0]] > 0
            }
            share = 0.9 if first else 1
            pulled = max(x, 0) / 48 * share, max(y, 0) / 48 * share
            plan = self.plan(purpose, bolts, pulled) if purpose == "retension" else None
            payload = {"purpose": purpose, "face": "print", "near": "A", "plan": plan}
            self.at += 4
            self.log("bolt_turns", payload | {"bolts": self.turned(bolts)})
            self.sheet.turn(self.at, *pulled)
        return MOST_ROUNDS

    def plan(self, purpose: str, bolts: dict[str, int], pulled: tuple[float, float]) -> str:
        """The turn plan that the phone gave for this round."""
        payload = {
            "purpose": purpose,
            "after": self.last_check["id"],
            "estimate": None,
            "face": "print",
            "near": "A",
            "bolts": [{"bolt": bolt, "turn_48ths": turn} for bolt, turn in bolts.items()],
            "predicted": self.sheet.foretold(self.at, *pulled),
            "predicted_marks": [],
            "status": "towards" if max(bolts.values()) == ROUND_LIMIT else "reaches",
            "rounds_left": 2 if max(bolts.values()) == ROUND_LIMIT else 1,
            "limits": [],
            "override": None,
        }
        return self.log("turn_plan", payload)["id"]

    def _step(self, turns: float) -> int:
        step = self.frame["step_48ths"]
        return min(round(turns * 48 / step) * step, ROUND_LIMIT)

    def bolts(self, without_ends: bool = False) -> list[str]:
        trim = 1 if without_ends else 0
        return [
            f"{side}{place}"
            for side, places in self.frame["bolts"].items()
            for place in range(1 + trim, len(places) + 1 - trim)
        ]

    def turned(self, bolts: dict[str, int], register: bool = False) -> list[Values]:
        self.turns.update(bolts)
        if register:
            self.register.update(bolts)
        return [{"bolt": bolt, "turn_48ths": turn} for bolt, turn in bolts.items()]

    def retension(self, at: float, target: float | None = None) -> Self:
        self.at = at
        self.facts["retensions"] += self.stretch("retension", target or self.target + 0.5)
        self.sheet.settle()
        return self.check(self.at + 8)

    def check(
        self, at: float, spots: int = 5, meter: str = "two", changes: Values | None = None
    ) -> Self:
        """`changes` is what was typed wrong: {spot: reading along A}."""
        coated = self.facts["stencil"] != "bare"
        step = METERS[meter]["resolution_n_per_cm"]
        seen = self.sheet.readings(at, spots, step, coated, READS_HIGH.get(meter, 0.0))
        for spot, value in (changes or {}).items():
            seen[spot]["along_a_n_per_cm"] = value
        payload = {
            "meter": self.book.meters[meter],
            "face": "print",
            "near": "A",
            "stencil": "coated" if coated else "bare",
            "spots": seen,
        }
        self.last_check = self.log("tension_check", payload, at)
        self.checked_at = self.at
        return self

    def stencil(self, at: float, job: str, colour: str) -> Self:
        """Coated, exposed and inspected within the day."""
        self.log("coated", {"note": ""}, at)
        ids = {"job": self.book.jobs[job], "colour": self.book.colours[job, colour]}
        self.log("exposed", ids, at + 150)
        self.log("inspected", {"passed": True, "note": ""}, at + 190)
        self.work = ids
        self.facts |= {"stencil": "inspected", "impressions": 0}
        return self

    def to_press(self, at: float, press: str, station: int = 1) -> Self:
        self.place = {"press": self.book.presses[press], "station": station}
        self.log("moved", {"to": "press", "rack": None, **self.place}, at)
        return self

    def rack(self, at: float, rack: str) -> Self:
        self.log("moved", {"to": "rack", "rack": rack, "press": None, "station": None}, at)
        return self

    def print(self, at: float, count: int) -> Self:
        self.log("impressions", {"mode": "added", "count": count, **self.work}, at)
        self.facts["impressions"] += count
        self.sheet.impressions += count
        return self

    def tweak(
        self,
        at: float,
        bolts: dict[str, int],
        seen: str,
        dx: float,
        dy: float,
        cause: str | None = None,
    ) -> Values:
        mark = {"u": 0.85, "v": 0.5, "dx_mm": dx, "dy_mm": dy}
        payload = {
            "face": "squeegee",
            "near": "A",
            "bolts": self.turned(bolts, register=True),
            "seen": seen,
            "cause": cause,
            "marks": [mark],
            "off_contact_mm": 3,
            **self.work,
            **self.place,
        }
        self.facts["tweaks"] += 1
        return self.log("register_tweak", payload, at)

    def after(self, at: float, tweak: Values, verdict: str, dx: float, dy: float) -> Self:
        mark = {"u": 0.85, "v": 0.5, "dx_mm": dx, "dy_mm": dy}
        self.log("after_marks", {"tweak": tweak["id"], "marks": [mark], "verdict": verdict}, at)
        return self

    def reclaim(self, at: float) -> Self:
        """Washed, evened up if it was turned for register, reclaimed."""
        self.log("washed", {"note": ""}, at)
        back = {bolt: -turn for bolt, turn in self.register.items() if turn}
        self.log("reclaimed", {"note": ""}, at + 40)
        if back:
            even = {"purpose": "even_up", "face": "squeegee", "near": "A", "plan": None}
            self.log("bolt_turns", even | {"bolts": self.turned(back, register=True)})
        self.facts |= {"stencil": "bare", "reclaims": self.facts["reclaims"] + 1}
        return self

    def remove(self, at: float, note: str = "") -> Self:
        self.log("mesh_removed", {"note": note}, at)
        self.facts["ended"] = "removed"
        return self

    def account(self) -> Values:
        """What the shop would say about this screen, told without the log."""
        return {
            "screen": self.screen,
            "mesh": self.mesh["name"],
            "turns": dict(sorted(self.turns.items())),
            "register_turns": {b: t for b, t in sorted(self.register.items()) if t},
            **self.facts,
        }
