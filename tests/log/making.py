"""Makes entries as phones would: seeded, plausible, and awkward where it is asked for."""

import random
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from frames.times import utc_text
from tests.log import payloads

Raw = dict[str, Any]
START_MS = 1_764_000_000_000
MINUTE_MS = 60_000
DAY_MS = 86_400_000


@dataclass
class Phone:
    """One install: its numbering, and how far its clock is behind the server's."""

    install_id: str
    offset_ms: int = 0
    device_seq: int = 0


@dataclass
class Frame:
    id: str
    screen: str | None = None
    fitted_before: list[str] = field(default_factory=list)
    tweaks: list[str] = field(default_factory=list)
    entries: list[Raw] = field(default_factory=list)


class Maker:
    """A shop of so many frames and phones that goes on logging for ever."""

    def __init__(self, seed: int, frames: int = 1, phones: int = 2) -> None:
        self.random, self.ids = random.Random(seed), random.Random(seed)
        self.now_ms, self.pace_ms = START_MS, 30 * MINUTE_MS
        self.frames = [Frame(self.new_id()) for _ in range(frames)]
        self.phones = [Phone(self.new_id()) for _ in range(phones)]
        self.phone_of: Callable[[str | None], Phone] = lambda _: self.random.choice(self.phones)
        kinds = ("mesh", "press", "meter", "operator", "job", "colour")
        self.book = {kind: [self.new_id() for _ in range(3)] for kind in kinds}

    def new_id(self) -> str:
        """A UUID of version 7 (RFC 9562) at the maker's own time."""
        value = self.now_ms << 80 | 7 << 76 | self.ids.getrandbits(76)
        value = value & ~(3 << 62) | 2 << 62
        text = f"{value:032x}"
        return "-".join((text[:8], text[8:12], text[12:16], text[16:20], text[20:]))

    def one(self, kind: str) -> str:
        return self.random.choice(self.book[kind])

    def entry(
        self,
        kind: str,
        payload: Raw,
        *,
        frame: str | None = None,
        screen: str | None = None,
        phone: Phone | None = None,
        at_ms: int | None = None,
        **others: Any,
    ) -> Raw:
        """An entry in wire form, happening at `at_ms` of the server's clock, by default now."""
        phone = phone or self.phone_of(frame)
        phone.device_seq += 1
        at_ms = self.now_ms if at_ms is None else at_ms
        return {
            "id": self.new_id(),
            "install_id": phone.install_id,
            "device_seq": phone.device_seq,
            "kind": kind,
            "v": 1,
            "occurred_at": utc_text(at_ms - phone.offset_ms),
            "clock_offset_ms": phone.offset_ms,
            "clock_offset_age_ms": 1000,
            "mono_ms": self.now_ms - START_MS,
            "base_seq": 0,
            "operator": None,
            "frame": frame,
            "screen": screen,
            "subject": None,
            "scanned": None,
            "app": "test",
            "payload": payload,
        } | others

    def fit(self, frame: Frame, **others: Any) -> Raw:
        """A new mesh on a frame."""
        entry = self.entry("mesh_fitted", payloads.mesh_fitted(self), frame=frame.id, **others)
        entry["screen"] = entry["id"]
        if frame.screen:
            frame.fitted_before.append(frame.screen)
        frame.screen, frame.tweaks = entry["id"], []
        return self._kept(frame, entry)

    def on(self, frame: Frame, kind: str, **others: Any) -> Raw:
        """An entry of this kind about the mesh that is on the frame."""
        payload = payloads.MAKE[kind](self, frame)
        entry = self.entry(kind, payload, frame=frame.id, screen=frame.screen) | others
        if kind == "ok_sheet":
            entry["subject"] = {"kind": "job", "id": self.one("job")}
        if kind == "register_tweak":
            frame.tweaks.append(entry["id"])
        return self._kept(frame, entry)

    def zeroed(self) -> Raw:
        subject = {"kind": "meter", "id": self.one("meter")}
        return self.entry("meter_zeroed", payloads.meter_zeroed(self), subject=subject)

    def void(self, entry: Raw, **others: Any) -> Raw:
        payload = {"voids": entry["id"], "reason": "logged by mistake"}
        here = {"frame": entry["frame"], "screen": entry["screen"]}
        return self.entry("void", payload, **(here | others))

    def correct(self, entry: Raw, **changes: Any) -> Raw:
        """A correction that replaces what is given and keeps the rest."""
        names = ("frame", "screen", "occurred_at", "payload")
        payload = {"corrects": entry["id"]} | {name: entry[name] for name in names} | changes
        return self.entry("correction", payload, frame=entry["frame"], screen=entry["screen"])

    def next(self) -> Raw:
        """Whatever comes next in the shop; the time goes on by a few minutes."""
        self.now_ms += self.random.randint(1, self.pace_ms)
        frame = self.random.choice(self.frames)
        if frame.screen is None or self.random.random() < 0.02:
            return self.fit(frame)
        kind = self.random.choice(payloads.USUAL)
        return self.zeroed() if kind == "meter_zeroed" else self.on(frame, kind)

    def entries(self, count: int) -> list[Raw]:
        return [self.next() for _ in range(count)]

    def _kept(self, frame: Frame, entry: Raw) -> Raw:
        frame.entries.append(entry)
        return entry
