"""A shop in which everything goes wrong: seeded, and left in the end to come to rest.

Virtual phones run the shipped store and sync; the server is the real process over its real
database. Phones save, undo, correct, are killed at storage steps, have their clocks put wrong and
their network taken away, cut, doubled and delayed; the server is killed, and restored from an
earlier copy of its database.
"""

import random
from collections.abc import Callable
from pathlib import Path
from typing import Any

from tests.faults.phones import Host, Phone
from tests.faults.shop import Json
from tests.log import making, payloads
from tests.shop_process import ShopProcess

HOUR_MS = 3_600_000
BAD_AIR = [
    *("down", "lost_answer", "twice", "late", "echo", "cut_answer", "cut_request", "cut_line"),
    *("hang", "hang_after", "portal", "portal_login", "proxy_down", "proxy_small", "asks_quiet"),
    *("other_app", "other_server"),
]


class World:
    """One seed's shop: two frames, two meters, three phones."""

    def __init__(
        self, seed: int, shop: ShopProcess, book: Json, host: Host, folder: Path, count: int = 3
    ) -> None:
        self.random = random.Random(seed)
        self.shop, self.host, self.folder = shop, host, folder
        self.maker = making.Maker(seed)
        pair = 2 * seed % len(book["frames"])
        self.frames = [making.Frame(id) for id in book["frames"][pair : pair + 2]]
        self.maker.frames = self.frames
        self.maker.book |= {"mesh": book["meshes"], "meter": book["meters"]}
        self.saved: dict[str, Json] = {}
        self.poison: set[str] = set()
        self.copied = False
        self.done: list[str] = []
        self.phones = [self._phone(seed, n, book["cookies"][n]) for n in range(count)]

    def _phone(self, seed: int, n: int, cookie: str) -> Phone:
        wrong = self.random.choice([0, 0, -30, 30]) * 24 * HOUR_MS
        return Phone(
            self.host,
            f"{seed}/{n}",
            self.shop.origin,
            f"tautbook_device={cookie}",
            seed=seed * 1000 + n,
            start=making.START_MS + wrong + self.random.randrange(HOUR_MS),
            zone=self.random.choice([-480, 0, 60, 345]),
            locks=self.random.random() < 0.7,
        )

    def run(self, steps: int) -> None:
        acts: list[tuple[int, Callable[[Phone], None]]] = [
            (40, self.save),
            (5, self.undo),
            (5, self.correct),
            (3, self.save_poison),
            (14, self.change_air),
            (10, self.kick),
            (8, self.let_time_pass),
            (3, self.put_clock),
            (6, self.die_soon),
            (3, self.kill),
            (3, self.open_second_tab),
            (4, self.deliver_late),
            (2, self.kill_server),
            (2, self.copy_or_restore),
        ]
        weights = [weight for weight, _ in acts]
        for _ in range(steps):
            phone = self.random.choice(self.phones)
            _, act = self.random.choices(acts, weights)[0]
            self.done.append(f"{phone.name} {act.__name__}")
            act(phone)

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
        about = {"frame": frame.id, "screen": screen}
        if kind == "ok_sheet":
            about["subject"] = {"kind": "job", "id": self.maker.one("job")}
        entry = self._save(phone, kind, payloads.MAKE[kind](self.maker, frame), **about)
        if entry and kind == "register_tweak":
            frame.tweaks.append(entry["id"])

    def _seen(self, phone: Phone, frame: making.Frame) -> str | None:
        """The mesh on the frame as this phone knows it."""
        tab = self._tab(phone)
        return phone.ask("fold", name=tab, frame=frame.id)["frame"]["screen"]

    def _save(self, phone: Phone, kind: str, payload: Json, **fields: Any) -> Json | None:
        tab = self._tab(phone)
        entry = phone.save(kind, payload=payload, tab=tab, **fields)
        if entry.get("died"):
            return None
        self.saved[entry["id"]] = entry
        return entry

    def _tab(self, phone: Phone) -> str:
        """One of the phone's open tabs; the app is opened if there is none."""
        if not phone.ask("tabs"):
            phone.open()
        return self.random.choice(sorted(phone.ask("tabs")))

    def _known(self, phone: Phone) -> list[Json]:
        """Entries that this phone shows and that may be undone or corrected."""
        frame = self.random.choice(self.frames)
        entries = phone.ask("entries", name=self._tab(phone), frame=frame.id)
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

    # What phones, clocks and air do.

    def change_air(self, phone: Phone) -> None:
        plan = self.random.choices(BAD_AIR + ["good"] * 4, k=self.random.randrange(6))
        phone.network(self.random.choice(["good", "good", "down", *BAD_AIR[:6]]), plan)

    def kick(self, phone: Phone) -> None:
        phone.kick(self._tab(phone))

    def let_time_pass(self, phone: Phone) -> None:
        phone.passes(self.random.choice([1, 60, 61, 400, 3700]))

    def put_clock(self, phone: Phone) -> None:
        phone.ask("put", ms=self.random.randrange(-48, 48) * HOUR_MS)

    def die_soon(self, phone: Phone) -> None:
        """The next storage steps of this tab are its last ones."""
        tab = self._tab(phone)
        phone.ask("dieAt", name=tab, step=self.random.randrange(1, 60))
        while tab in phone.ask("tabs") and self.random.random() < 0.8:
            phone.kick(tab)
        phone.ask("kill", name=tab)

    def kill(self, phone: Phone) -> None:
        phone.ask("kill", name=self._tab(phone))

    def open_second_tab(self, phone: Phone) -> None:
        if "two" not in phone.ask("tabs"):
            phone.open("two")

    def deliver_late(self, phone: Phone) -> None:
        phone.ask("deliverLate")

    # What becomes of the server.

    def kill_server(self, phone: Phone) -> None:
        """Killed while phones are at it; what they get no answer for, they keep."""
        busy = [(one, self._tab(one)) for one in self.phones]
        begun = [self.host.begin(one.name, "kick", name=tab) for one, tab in busy]
        self.shop.kill()
        for number in begun:
            self.host.collect(number)
        self.shop.start()

    def copy_or_restore(self, phone: Phone) -> None:
        backup = self.folder / "backup"
        if not self.copied:
            self.shop.copy_database(backup)
            self.copied = True
            return
        self.shop.stop()
        self.shop.put_database_back(backup)
        if self.random.random() < 0.5:
            (self.shop.data / "position.json").unlink(missing_ok=True)
        self.shop.start()

    def come_to_rest(self) -> None:
        """Good air, open apps, time: until no phone has anything to send or to fetch."""
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
