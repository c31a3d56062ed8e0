"""A shop in which everything goes wrong: seeded, and left in the end to come to rest.

Virtual phones run the shipped store and sync; the server is the real process over its real
database. What people do is here, what goes wrong for them in `simulated_trouble`:

- air: F1 twice, F2 answer lost, F3 request lost, F4 late and out of order, F5 cut in the middle of
  a request, a line or an answer, F6 portal, F14 app or server of another age, F27 told to be quiet
  or that it is too much, F36 told to be online where nothing is, F37 hanging;
- phone: F7 killed at a storage step, F9 two tabs, with or without locks, F10 lease or lock left
  behind, F11 clock wrong from the start and put again, F15 storage full, F16 storage thrown away,
  F17 database closed, F31 away for weeks;
- server: F19 restored, with and without its file of positions, F21 and F22 poison in a batch, F23
  the same id with another body, F28 killed while it is at it, F30 database locked;
- people: F24 signed out, F25 blocked and retired, F26 another operator, F33 frame retired.

Left to tests of their own, as they need a browser, another database or a person: F12, F13, F18,
F20, F29, F32, F34, F35, F38.
"""

import random
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from tests.faults import simulated_trouble as trouble
from tests.faults.phones import Host, Phone, PhoneError
from tests.faults.quick_shop import QuickShop
from tests.faults.shop import Json
from tests.log import making, payloads

HOUR_MS = 3_600_000
# A frame has so many entries in the end; more would only make each look at it slow.
PER_FRAME = 120
Act = Callable[["World", Phone], None]


@dataclass(frozen=True)
class Size:
    """How many phones there are, and how many entries each of them saves at least."""

    phones: int
    entries: int

    @property
    def restores(self) -> float:
        """Their weight: about a dozen in all, since after each every phone sends all it holds."""
        return 2 * min(1, 300 / (self.phones * self.entries))


class World:
    """One seed's shop: its phones, and frames for as many entries as each of them will save."""

    def __init__(
        self, seed: int, shop: QuickShop, book: Json, host: Host, folder: Path, size: Size
    ) -> None:
        self.random = random.Random(seed)
        self.shop, self.host, self.folder, self.size = shop, host, folder, size
        self.maker = making.Maker(seed)
        count = max(2, size.phones * size.entries // PER_FRAME)
        self.frames = [making.Frame(id) for id in book["frames"][:count]]
        self.maker.frames = self.frames
        self.maker.book |= {"mesh": book["meshes"], "meter": book["meters"]}
        self.saved: dict[str, Json] = {}
        self.poison: set[str] = set()
        # Ids of which no phone holds a copy any more; a restore may lose these for good.
        self.sole: set[str] = set()
        self.excused: set[str] = set()
        self.copied = False
        self.done: list[str] = []
        self.phones = [self._phone(seed, n, book["cookies"][n]) for n in range(size.phones)]
        self.left = {phone.name: size.entries for phone in self.phones}

    def _phone(self, seed: int, n: int, cookie: str) -> Phone:
        wrong = self.random.choice([0, 0, -30, 30]) * 24 * HOUR_MS
        return Phone(
            self.host,
            f"{seed} as {n + 1}",
            self.shop.origin,
            f"tautbook_device={cookie}",
            seed=seed * 1000 + n,
            start=making.START_MS + wrong + self.random.randrange(HOUR_MS),
            zone=self.random.choice([-480, 0, 60, 345]),
            locks=self.random.random() < 0.7,
        )

    def run(self) -> None:
        """Until every phone has saved what it is to save."""
        acts: list[tuple[float, Act]] = [
            *((40, World.save), (5, World.undo), (5, World.correct), (3, World.save_poison)),
            *trouble.OF_PHONES,
            *trouble.of_server(self.size.restores),
        ]
        weights = [weight for weight, _ in acts]
        while busy := [phone for phone in self.phones if self.left[phone.name] > 0]:
            phone = self.random.choice(busy)
            _, act = self.random.choices(acts, weights)[0]
            self.done.append(f"{phone.name} {act.__name__}")
            act(self, phone)

    # What people do.

    def save(self, phone: Phone) -> None:
        frame = self.random.choice(self.frames)
        kind = self.random.choice(payloads.USUAL)
        if kind == "meter_zeroed":
            subject = {"kind": "meter", "id": self.maker.one("meter")}
            self._save(phone, kind, payloads.meter_zeroed(self.maker), subject=subject)
            return
        screen = self._seen(phone, frame)
        if screen is None or self.random.random() < 0.05:
            self._save(phone, "mesh_fitted", payloads.mesh_fitted(self.maker), frame=frame.id)
            return
        about: Json = {"frame": frame.id, "screen": screen, "operator": self.maker.one("operator")}
        if kind == "ok_sheet":
            about["subject"] = {"kind": "job", "id": self.maker.one("job")}
        entry = self._save(phone, kind, payloads.MAKE[kind](self.maker, frame), **about)
        if entry and kind == "register_tweak":
            frame.tweaks.append(entry["id"])

    def _seen(self, phone: Phone, frame: making.Frame) -> str | None:
        """The mesh on the frame as this phone knows it."""
        return phone.ask("fold", name=self.tab(phone), frame=frame.id)["frame"]["screen"]

    def _save(self, phone: Phone, kind: str, payload: Json, **fields: Any) -> Json | None:
        try:
            entry = phone.save(kind, payload=payload, tab=self.tab(phone), **fields)
        except PhoneError as error:
            if error.code != "full":
                raise
            # Refused loudly: whoever pressed Save knows that nothing was saved.
            return None
        if entry.get("died"):
            return None
        self.left[phone.name] -= 1
        self.saved[entry["id"]] = entry
        return entry

    def tab(self, phone: Phone) -> str:
        """One of the phone's open tabs; the app is opened if there is none."""
        if not phone.ask("tabs"):
            phone.open()
        return self.random.choice(sorted(phone.ask("tabs")))

    def _known(self, phone: Phone) -> list[Json]:
        """Entries that this phone shows and that may be undone or corrected."""
        frame = self.random.choice(self.frames)
        entries = phone.ask("entries", name=self.tab(phone), frame=frame.id)
        kinds = {*payloads.MAKE, "correction", "mesh_fitted"} - {"void"}
        return [entry for entry in entries if entry["kind"] in kinds]

    def undo(self, phone: Phone) -> None:
        if known := self._known(phone):
            entry = self.random.choice(known)
            payload = {"voids": entry["id"], "reason": "logged by mistake"}
            self._save(phone, "void", payload, frame=entry["frame"], screen=entry["screen"])

    def correct(self, phone: Phone) -> None:
        known = [entry for entry in self._known(phone) if entry["kind"] in payloads.MAKE]
        if not known:
            return
        entry = self.random.choice(known)
        right = {name: entry[name] for name in ("frame", "screen", "occurred_at", "payload")}
        if self.random.random() < 0.3:
            other = self.frames[entry["frame"] == self.frames[0].id]
            right |= {"frame": other.id, "screen": self._seen(phone, other)}
        else:
            right["payload"] = payloads.another(self.maker, entry["kind"])
        payload = {"corrects": entry["id"], **right}
        self._save(phone, "correction", payload, frame=entry["frame"], screen=entry["screen"])

    def save_poison(self, phone: Phone) -> None:
        """Something that no phone of ours should save: the server refuses it, and nothing else."""
        entry = self._save(phone, "", {"note": "no kind"})
        if entry:
            self.poison.add(entry["id"])

    def come_to_rest(self) -> None:
        """Good air, open apps, time: until no phone has anything to send or to fetch."""
        trouble.let_all_in(self)
        for phone in self.phones:
            phone.network("good")
            for tab in phone.ask("tabs"):
                phone.ask("kill", name=tab)
            phone.open()
        for phone in self.phones:
            phone.ask("deliverLate")
        for _ in range(12):
            for phone in self.phones:
                phone.passes(120)
                phone.kick()
            places = {str(phone.ask("place", name="one")["place"]) for phone in self.phones}
            if len(places) == 1 and not any(phone.unsent() for phone in self.phones):
                return
        raise AssertionError("the phones never came to rest")
