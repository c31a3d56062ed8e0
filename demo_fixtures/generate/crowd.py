"""The other 28 frames of the demo shop at full size and their 50 screens, over eighteen months.

Told by rule and seed, not by hand: a screen is stretched, serves the jobs that need its mesh, and
is looked after in between. Some things go wrong on purpose; each says so where it happens.
"""

from collections import Counter
from itertools import cycle
from random import Random

from demo_fixtures.generate.crowd_shop import EVERY_DAYS, FIRST_DAY, KEPT, OPEN, SLIPPING, FullBook
from demo_fixtures.generate.life import Life
from demo_fixtures.generate.moments import DAY, on
from demo_fixtures.generate.notebook import Notebook
from demo_fixtures.generate.shop import MESHES
from demo_fixtures.generate.stories import Stories

BEFORE_ALL, SEND_EVERY = 700 * DAY, 240
MONTHS_DAYS, ONE_SCREEN = 545, range(435, 441)
# The finest mesh wears through: impressions that it bears on these frames.
LASTS = {414: 5900, 418: 5000, 422: 3400, 426: 3000, 430: 1500}
BURST, UNLOGGED, REPAIR, LOST, SCRAPPED = 420, 416, 438, 439, 440
PRESSES = ("carousel", "line", "flatbed")
HANDS = {
    "carousel": ("line tablet", "Besnik"),
    "line": ("line tablet", "Ruth"),
    "flatbed": ("flatbed phone", "Tomas"),
}
# What they found, in turn; the shop has not got to the bottom of everything.
FOUND = {
    "carousel": ("press", "press", "press", None),
    "other": ("sheet", "sheet", "lays", "sheet", None, "mesh", "film", "lays"),
}
ELSEWHERE = {REPAIR: "repair", LOST: "lost", SCRAPPED: "scrapped"}


class Crowd(Stories):
    """Everything that happened in the shop at full size; `places` is where its frames are now."""

    def __init__(self) -> None:
        self.book = FullBook()
        self.notes = Notebook(before_all=BEFORE_ALL, send_every=SEND_EVERY)
        self.choice = Random(40)
        self.causes = {press: cycle(found) for press, found in FOUND.items()}
        self.printed: Counter[tuple[str, str]] = Counter()
        self.places: dict[int, str] = {}
        self.borne: Counter[int] = Counter()
        self.torn_days_ago: dict[int, int] = {}

    def frame(self, number: int) -> list[Life]:
        """Its screens, oldest first."""
        meshes = list(MESHES)
        if number in ONE_SCREEN:
            return [self._live(number, meshes[number % 4], self.choice.randint(320, 400))]
        begin, middle = MONTHS_DAYS - self.choice.randint(1, 25), self.choice.randint(210, 300)
        first = self._served(self.life(number, meshes[number % 4]), begin, middle + 6)
        if first.facts["ended"]:
            first.by("screen room tablet", "Ilka")
            first.log(
                "mesh_removed", {"note": "burst"}, on(self.torn_days_ago[number] - 1, "09:00")
            )
        else:
            first.remove(on(middle + 2, "09:00"), "worn")
        return [first, self._live(number, meshes[(number + 1) % 4], middle)]

    def _live(self, number: int, mesh: str, begin: int) -> Life:
        """The screen that is on the frame today, unless the frame is scrapped."""
        life = self._served(self.life(number, mesh), begin, 12)
        if number in ELSEWHERE:
            away = {"to": ELSEWHERE[number], "rack": None, "press": None, "station": None}
            life.log("moved", away, on(3, "15:00"))
            self.places[number] = ELSEWHERE[number]
            life.facts["ended"] = "scrapped" if number == SCRAPPED else None
        elif number % 5:
            life.check(on(self.choice.randint(1, 5), "08:30"))
        return life

    def _served(self, life: Life, begin: int, end: int) -> Life:
        """Stretched `begin` days ago, in use until `end` days ago."""
        life.sheet.slipping_per_day = 0.18 if life.number == SLIPPING else 0.0
        life.fit(on(begin, "07:40")).retension(on(begin - 1, "08:00"))
        day = begin - 8
        self._rack(life, day + 6)
        for name in self.book.more_jobs:
            on_press = FIRST_DAY - EVERY_DAYS * (int(name) - 2401)
            if name == str(OPEN) or not day - 4 >= on_press >= end + 3 or life.facts["ended"]:
                continue
            if colour := self._colour_for(name, life.mesh_name):
                self._looked_after(life, day, on_press + 5)
                self._job(life, name, *colour, on_press)
                day = on_press - 4
                if int(name) in KEPT:
                    return life
        if not life.facts["ended"]:
            self._looked_after(life, day, end)
        return life

    def _colour_for(self, name: str, mesh: str) -> tuple[str, int] | None:
        """A colour of the job that wants this mesh and is not on two screens already."""
        for colour, wanted, place in self.book.colours_of[name]:
            if wanted == mesh and self.printed[name, colour] < 2:
                self.printed[name, colour] += 1
                return colour, place
        return None

    def _looked_after(self, life: Life, day: int, until: int) -> None:
        """A look every fortnight; retensioned when it has lost more than its tolerance."""
        for at in range(day - 9, until, -14):
            life.by("screen room tablet", "Ilka").check(on(at, "08:10"), spots=1)
            if life.number == UNLOGGED and at - 14 >= until and not self.printed["unlogged", ""]:
                self.printed["unlogged", ""] += 1
                life.sheet.turn(on(at, "10:00"), 0.8, 0.8)  # somebody turned bolts and said nothing
            elif self._lost(life) > life.mesh["tolerance_n_per_cm"]:
                life.retension(on(at, "09:00"))

    def _lost(self, life: Life) -> float:
        [spot] = life.last_check["payload"]["spots"][:1]
        return life.target - min(spot["along_a_n_per_cm"], spot["across_a_n_per_cm"])

    def _job(self, life: Life, name: str, colour: str, station: int, day: int) -> None:
        """Measured, coated, exposed, printed, reclaimed; or kept in the rack for a repeat."""
        life.by("screen room tablet", "Ilka").check(on(day + 4, "08:00"))
        if self._lost(life) > 0.8:
            life.retension(on(day + 4, "08:30"))
        life.stencil(on(day + 3, "09:00"), name, colour)
        press = PRESSES[int(name) % 3]
        life.to_press(on(day, "07:30"), press, 1 if press == "flatbed" else 1 + (station - 1) % 4)
        life.by(*HANDS[press]).check(on(day, "07:45"), 1, "old" if press == "carousel" else "one")
        self._tweaks(life, press, day)
        count = self.book.more_jobs[name]["run"] // 2
        life.print(on(day, "11:40"), count)
        self.borne[life.number] += 2 * count
        if where := self._tears(life.number, day):
            torn = {"where": where, "u": None, "v": None, "impressions": count, "note": ""}
            life.log("burst", torn, on(day, "11:55"))
            life.facts["ended"] = "burst"
            self.torn_days_ago[life.number] = day
            return
        life.print(on(day - 1, "15:00"), count).by("screen room tablet", "Ilka")
        if int(name) not in KEPT:
            life.reclaim(on(day - 2, "09:30"))
        self._rack(life, day - 2)

    def _tears(self, number: int, day: int) -> str | None:
        """Where the mesh of a frame gives way on this day, once in its life."""
        if number in self.torn_days_ago:
            return None
        if number == BURST and day < 400:
            return "at_lock"
        return "middle" if self.borne[number] > LASTS.get(number, 10**6) else None

    def _tweaks(self, life: Life, press: str, day: int) -> None:
        """The carousel prints long on side B every time: its pallet arms are not level."""
        always = press == "carousel"
        if not always and self.choice.random() > 0.2:
            return
        bolts = dict.fromkeys(("B2", "B3"), life.frame["step_48ths"])
        cause = next(self.causes["carousel" if always else "other"])
        first = life.tweak(on(day, "08:20"), bolts, "long_short", -0.25, 0.03, cause)
        life.after(on(day, "08:35"), first, "better" if always else "in_register", -0.1, 0.02)
        if always:
            again = life.tweak(on(day, "08:45"), bolts, "long_short", -0.12, 0.02, cause)
            life.after(on(day, "08:58"), again, "in_register", -0.02, 0.02)

    def _rack(self, life: Life, day: int) -> None:
        rack = f"{'ABCDEFG'[life.number % 7]}{life.number % 9 + 1}"
        life.rack(on(day, "11:00"), rack)
        self.places[life.number] = f"rack {rack}"
