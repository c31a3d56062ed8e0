"""The screen maker: reads a screen of the plant, asks the phone, and turns what it says."""

import re
from collections.abc import Iterator, Sequence

from playwright.sync_api import Page, expect

from tests.browser.hand import Operator
from tests.browser.plan_shop import LAYOUTS
from tests.mechanics.plant import Layout, Plant

PALM_MM = 100
STEP_48THS = 8
TURN = re.compile(r"([+−])(\d+) flats?")
BOLTS = re.compile(r"([A-D])(\d+)(?:–[A-D](\d+))?")
Place = tuple[float, float]

DRAFT = """(kind) => new Promise((resolve, reject) => {
  const open = indexedDB.open("tautbook");
  open.onerror = () => reject(open.error);
  open.onsuccess = () => {
    const all = open.result.transaction("meta").objectStore("meta").getAll();
    all.onsuccess = () => {
      open.result.close();
      resolve(all.result.filter((one) => one?.form && one.kind === kind).at(-1) ?? null);
    };
  };
})"""


def five_spots(layout: Layout) -> list[Place]:
    """The middle and a palm in from the corners, in the order in which the phone asks."""
    u, v = PALM_MM / layout.inside_a_mm, PALM_MM / layout.inside_b_mm
    return [(0.5, 0.5), (u, v), (1 - u, v), (1 - u, 1 - v), (u, 1 - v)]


def keys(reading: float) -> str:
    return f"{int(reading):02}" + ("½" if reading % 1 else "")


class Spanner:
    """One screen of the plant in the hands of an operator with a phone."""

    def __init__(self, operator: Operator, frame: str, code: str, plant: Plant) -> None:
        self.operator, self.code, self.plant = operator, code, plant
        self.layout = LAYOUTS[frame]
        self.first_meter = True

    @property
    def page(self) -> Page:
        return self.operator.page

    def settle(self, *, press: str | None = None) -> None:
        """Say who works and where; on a press also on which job."""
        op = self.operator
        op.open("/#context")
        op.tap("Ines")
        op.tap(press or "Screen room")
        if press:
            op.tap("1")
            op.tap(self.page.get_by_role("button", name=re.compile("2611")))
            op.tap("Key black")
        op.lay("Squeegee side up, A near you")
        op.tap("Done")

    def open_card(self) -> None:
        self.operator.open(f"/f/{self.code}")
        self.operator.at_card(self.code)

    def read(self, spots: Sequence[Place]) -> list[float]:
        """Key in what the meter shows, along and across at each spot, and save."""
        op, seen = self.operator, []
        for along, across in self.plant.read(spots):
            seen += [along, across]
            op.key_in(keys(along))
            op.key_in(keys(across))
        op.tap(self.page.get_by_role("button", name=re.compile(r"^Save \d")))
        op.at_card(self.code)
        return seen

    def first_check(self) -> list[float]:
        self.open_card()
        self.operator.tap("Check")
        self.operator.set_check("Five spots", "Meter 2")
        return self.read(five_spots(self.layout))

    def check_again(self) -> list[float]:
        """On the check that opens after a round: the spots that the phone asks for."""
        expect(self.page.locator(".page-check .keypad")).to_be_visible()
        spots = self.page.evaluate(DRAFT, "tension_check")["form"]["readings"]["spots"]
        return self.read([(one["u"], one["v"]) for one in spots])

    def plan(self) -> str:
        """From the card: what the phone says."""
        self.operator.tap("Plan the turns")
        said = self.page.locator(".page-plan .said")
        said.wait_for()
        return said.inner_text()

    def shown_turns(self) -> dict[str, int]:
        """48ths by bolt, as the plan lists them side by side: "A2–A6 +9 flats"."""
        turns: dict[str, int] = {}
        for text in self.page.locator(".plan-turn").all_inner_texts():
            found = TURN.search(text)
            steps = int(found[1].replace("−", "-") + found[2])
            for side, first, last in BOLTS.findall(text[: found.start()]):
                for number in range(int(first), int(last or first) + 1):
                    turns[f"{side}{number}"] = steps * STEP_48THS
        return turns

    def tick_off(self) -> dict[str, int]:
        """Turn and tick bolt after bolt until none is left; 48ths by bolt as the phone said."""
        turned: dict[str, int] = {}
        while self.page.locator(".in-hand-now").count():
            bolt = self.page.locator(".in-hand-now b").inner_text()
            sign, count = TURN.fullmatch(
                self.page.locator(".in-hand-now output").inner_text()
            ).groups()
            turned[bolt] = (1 if sign == "+" else -1) * int(count) * STEP_48THS
            self.operator.tap(f"Done {bolt}")
            expect(
                self.page.locator(".in-hand-now b", has_text=re.compile(f"^{bolt}$"))
            ).to_have_count(0)
        return turned

    def nip_up(self) -> dict[str, int]:
        """Take up what hangs loose on the plant, and tell the phone in whole flats."""
        self.operator.tap("Nip up")
        told = {bolt: round(48 * turn / STEP_48THS) for bolt, turn in self.plant.nip_up().items()}
        for bolt, flats in told.items():
            for _ in range(flats):
                self.tap_bolt(bolt)
        return {bolt: flats * STEP_48THS for bolt, flats in told.items() if flats}

    def tap_bolt(self, bolt: str) -> None:
        """On the drawing, or in the row that a crowded side unfolds into."""
        if not self.page.locator(f"[data-bolt={bolt}]").count():
            self.operator.tap(self.page.get_by_role("button", name=re.compile(f"^Side {bolt[0]}")))
        self.operator.tap(self.page.locator(f"[data-bolt={bolt}]").first)

    def fit(self) -> Iterator[str]:
        """Every step of a new mesh, one bolt of each round turned; its title while it is open."""
        self.operator.open(f"/f/{self.code}#stretch")
        head, go = (self.page.locator(at) for at in (".page-stretch h1", ".foot .action.go"))
        while True:
            head.wait_for()
            title = head.inner_text()
            yield title
            if title == "Let it rest":
                return
            go.click()
            if title.startswith("Round"):
                go.click()
                self.operator.tap("Stop here and nip up")
                self.operator.tap("Save the round")
            expect(head).not_to_have_text(title)

    def turn_round(self) -> tuple[dict[str, int], dict[str, int]]:
        """A whole round on phone and plant, up to the saved tick."""
        self.operator.tap("Start turning")
        turned = self.tick_off()
        self.plant.turn({bolt: turn / 48 for bolt, turn in turned.items()})
        nipped = self.nip_up()
        self.plant.rest()
        self.operator.tap("Save the round")
        return turned, nipped
