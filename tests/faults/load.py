"""How much a shop's server takes: phones and the office together, more each step until it bends.

    python -m tests.faults.load sqlite
    python -m tests.faults.load postgresql --phones 30 --seconds 20

Each step offers so many entries a second from all phones together, while the office looks at its
pages. Printed are entries with a receipt per second, and in milliseconds the middle, 95 % and
99 % of the time from saving an entry to its receipt, and of the office's pages. Where less than
nine tenths of what is offered gets through, the server has bent; one step goes beyond that. Then
every phone of a crowd comes at the same moment, more than the server lets wait: it has to put
some off (503 with Retry-After), and all must be in the log once they have come again.

The figures need a quiet machine: those who ask run on it as well.
"""

import argparse
import time
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from random import Random
from threading import Barrier, Event, Thread

from tests.faults.shop import Json, furnish
from tests.faults.standing import ShopOn, check_book, shop_on
from tests.faults.traffic import Shift, Unanswered, Visitor, office

FIRST, MOST = 10, 5000
ENOUGH = 0.9
PAGES = ("/office/", "/office/frames/", "/office/log/", "/office/pulse/")
EVERY_S = 0.5


@dataclass
class Step:
    """What one step offered and what came of it; times in seconds."""

    offered: float
    seconds: float = 0.0
    stored: int = 0
    receipts: list[float] = field(default_factory=list)
    pages: list[float] = field(default_factory=list)
    statuses: Counter[str] = field(default_factory=Counter)

    @property
    def rate(self) -> float:
        return self.stored / self.seconds

    def line(self) -> str:
        told = " ".join(f"{status}:{n}" for status, n in sorted(self.statuses.items()))
        ms = (_ms(times) for times in (self.receipts, self.pages))
        return f"{self.offered:7.0f} {self.rate:8.1f}   {'   '.join(ms)}   {told}"


HEAD = "offered   stored   receipt p50   p95   p99      page p50   p95   p99   answers"


def _ms(times: list[float]) -> str:
    found = sorted(times) or [0.0]
    places = (found[min(len(found) - 1, int(len(found) * part))] for part in (0.5, 0.95, 0.99))
    return " ".join(f"{1000 * one:7.0f}" for one in places)


@dataclass
class Pace:
    """One phone's part of a step: when it saves what, and who measures."""

    phone: Visitor
    due: list[tuple[float, Json]]
    step: Step
    stop: Event

    def run(self) -> None:
        """Save when it is time, send as soon as there is something; the rest stays held."""
        saved: dict[str, float] = {}
        while (self.due or self.phone.outbox) and not self.stop.is_set():
            now = time.monotonic()
            while self.due and self.due[0][0] <= now:
                at, entry = self.due.pop(0)
                saved[entry["id"]] = at
                self.phone.outbox.append(entry)
            if not self.phone.outbox:
                self.stop.wait(max(0.0, self.due[0][0] - now))
                continue
            known = len(self.phone.acknowledged)
            wait = self.phone.round()
            done = time.monotonic()
            fresh = self.phone.acknowledged[known:]
            self.step.receipts += [done - saved[id] for id in fresh if id in saved]
            self.stop.wait(wait)


@dataclass
class Load:
    """All steps on one server."""

    shop: ShopOn
    phones: int
    seconds: float
    seed: int = 1
    sent: set[str] = field(default_factory=set)

    def __post_init__(self) -> None:
        self.random = Random(self.seed)
        self.shift = Shift(self.shop, furnish(self.shop, self.phones), self.seed)
        self.desk = office(self.shop)
        self.shop.start()
        for phone in self.shift.phones:
            phone.round()

    def steps(self, first: float = FIRST) -> Iterator[Step]:
        """Twice as much each time; the last one is beyond what the server can keep up with."""
        offered, bent = first, False
        while offered <= MOST:
            step = self.step(offered)
            yield step
            if bent:
                return
            bent = step.rate < ENOUGH * offered
            offered *= 2

    def step(self, offered: float) -> Step:
        step, stop = Step(offered), Event()
        before = self.shift.statuses()
        known = len(self.shift.acknowledged())
        paces = self._paces(step, stop)
        begun = time.monotonic()
        threads = [Thread(target=pace.run) for pace in paces]
        threads.append(Thread(target=self._look_at_pages, args=(step, stop)))
        for thread in threads:
            thread.start()
        time.sleep(self.seconds)
        step.seconds = time.monotonic() - begun
        step.stored = len(self.shift.acknowledged()) - known
        stop.set()
        for thread in threads:
            thread.join()
        step.statuses = self.shift.statuses() - before + self.desk.statuses
        self.desk.statuses.clear()
        self.come_to_rest()
        return step

    def _paces(self, step: Step, stop: Event) -> list[Pace]:
        by_phone = self.shift.entries(round(step.offered * self.seconds))
        start = time.monotonic() + 0.2
        paces = []
        for phone in self.shift.phones:
            new = by_phone[phone.install_id]
            self.sent.update(entry["id"] for entry in new)
            times = sorted(start + self.random.uniform(0, self.seconds) for _ in new)
            paces.append(Pace(phone, list(zip(times, new, strict=True)), step, stop))
        self.left = paces
        return paces

    def _look_at_pages(self, step: Step, stop: Event) -> None:
        turn = 0
        while not stop.is_set():
            begun = time.monotonic()
            try:
                status, headers, _ = self.desk.ask("GET", PAGES[turn % len(PAGES)])
                assert status in (200, 204, 429, 503), status
                assert status < 400 or headers["Retry-After"]
            except Unanswered:
                pass
            step.pages.append(time.monotonic() - begun)
            turn += 1
            stop.wait(EVERY_S)

    def come_to_rest(self) -> None:
        """What is still held or was not saved yet goes in, however long it takes."""
        for pace in self.left:
            pace.phone.outbox += [entry for _, entry in pace.due]
        self._each(_drain)

    def crowd(self, each: int) -> Counter[str]:
        """All phones come at the same moment with `each` entries; how they were answered."""
        by_phone = self.shift.entries(each * self.phones)
        before = self.shift.statuses()
        gate = Barrier(self.phones)
        for phone in self.shift.phones:
            new = by_phone[phone.install_id]
            self.sent.update(entry["id"] for entry in new)
            phone.outbox += new

        def come(phone: Visitor) -> None:
            gate.wait(timeout=60)
            _drain(phone)

        self._each(come)
        return self.shift.statuses() - before

    def _each(self, work: Callable[[Visitor], None]) -> None:
        threads = [Thread(target=work, args=(phone,)) for phone in self.shift.phones]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()


def _drain(phone: Visitor) -> None:
    while phone.outbox:
        time.sleep(phone.round())


def measure(database: str, phones: int, seconds: float) -> None:
    with shop_on(database) as shop:
        load = Load(shop, phones, seconds)
        print(f"{database}, {phones} phones, {seconds:.0f} s a step\n{HEAD}")
        for step in load.steps():
            print(step.line(), flush=True)
        check_book(shop, load.sent)
    with shop_on(database) as shop:
        load = Load(shop, 4 * phones, seconds)
        begun = time.monotonic()
        answers = load.crowd(each=20)
        took = time.monotonic() - begun
        check_book(shop, load.sent)
        print(f"{4 * phones} phones at once, 20 entries each: {dict(answers)}, {took:.1f} s")
    print("All that was sent is in the log once; state is one fold of it.")


if __name__ == "__main__":
    words = argparse.ArgumentParser()
    words.add_argument("database", choices=("sqlite", "postgresql"))
    words.add_argument("--phones", type=int, default=30)
    words.add_argument("--seconds", type=float, default=15)
    asked = words.parse_args()
    measure(asked.database, asked.phones, asked.seconds)
