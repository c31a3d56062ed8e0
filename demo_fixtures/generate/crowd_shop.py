"""What the demo shop at full size has beside the small one: frames, a press, past and open jobs."""

from random import Random
from typing import Any

from demo_fixtures.generate.shop import MESHES, Book, Values, adjuster, frame, job

# size, how many, first of its second names
MORE = (
    ("small", 7, "K", 5),
    ("middle", 6, "T", 6),
    ("large", 3, "Long ", 4),
    ("narrow", 8, "N", 1),
    ("wide", 4, "W", 1),
)
FIRST_NUMBER, SLIPPING = 413, 425
CAROUSEL = {
    "name": "Carousel",
    "stations": 6,
    "clamps": [{"side": "near"}],
    "adjusters": [adjuster("side screw", 1.1, 0.5, "right", 0.5, smallest=0.25, backlash=0.25)],
}
TITLES = (
    "Orchard bowls", "Lighthouse mugs", "Blue onion revival", "Bakery plates", "Swallow tiles",
    "Chess set plaques", "Rowan tea set", "Tramway souvenirs", "Kitchen jars", "Alphabet cups",
    "Fishmonger platters", "Winter market mugs", "Botanist's series", "Vineyard carafes",
    "Clock dials", "School crest mugs", "Wedding service", "Harbour tiles", "Thistle saucers",
)  # fmt: skip
PALETTE = ("pale blue", "dark blue", "yellow", "warm red", "leaf green", "brown", "black line")
FIRST_DAY, EVERY_DAYS = 525, 28
KEPT = (2418,)
OPEN = 2419


def more_frames() -> list[Values]:
    made: list[Values] = []
    for size, count, letters, first in MORE:
        for place in range(count):
            number = FIRST_NUMBER + len(made)
            lock = "wedge_strip" if number == SLIPPING or number % 5 == 0 else "twin_rod"
            made.append(frame(number, size, f"{letters}{first + place}", lock))
    return made


def more_jobs() -> dict[str, Values]:
    """A job about every four weeks for eighteen months; the last one is still to be printed."""
    made = {}
    for place, title in enumerate(TITLES):
        number, days_ago = 2401 + place, FIRST_DAY - EVERY_DAYS * place
        more: dict[str, Any] = {"keep_stencils": True} if number in KEPT else {}
        if number == OPEN:
            days_ago, more = -5, {"inside_a_mm": 500, "inside_b_mm": 700}
        else:
            more |= {"done": True}
        made[str(number)] = job(str(number), title, -days_ago, 300 + 150 * (place % 9), **more)
    return made


class FullBook(Book):
    """The small book with the same ids, and what comes with full size."""

    def __init__(self) -> None:
        super().__init__()
        self.choice = Random(25)
        self.presses["carousel"] = self._add("press", CAROUSEL)
        for values in more_frames():
            self.frame_values[values["number"]] = values
            self.frames[values["number"]] = self._add("frame", values)
        self.more_jobs = more_jobs()
        self.colours_of = {name: self._colours(name) for name in self.more_jobs}

    def _colours(self, name: str) -> list[tuple[str, str, int]]:
        """Colour, mesh and place of each; a covercoat is printed last."""
        self.jobs[name] = self._add("job", self.more_jobs[name])
        meshes = [mesh for mesh in MESHES if mesh != "32-70"]
        names = self.choice.sample(PALETTE[:-1], self.choice.randint(2, 3))
        chosen = [(one, self.choice.choice(meshes)) for one in names]
        chosen += [("black line", "120-34"), ("covercoat", "32-70")]
        for place, (colour, mesh) in enumerate(chosen, 1):
            self.colours[name, colour] = self._colour(name, place, colour, mesh)
        return [(colour, mesh, place) for place, (colour, mesh) in enumerate(chosen, 1)]
