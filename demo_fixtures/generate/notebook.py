"""Collects entries as the shop's phones would have written and sent them."""

import random
from collections import Counter
from dataclasses import dataclass
from typing import Any

from demo_fixtures.generate.moments import DAY, NOW, told
from frames.codes import format_code

BEFORE_ALL = 400 * DAY
UUID_EPOCH_MS = 1_700_000_000_000


@dataclass
class Phone:
    install_id: str
    offset_ms: int
    offset_age_ms: int | None


class Notebook:
    """`send_every` is how many minutes phones let pass between two pushes, 0 for at once."""

    def __init__(
        self, seed: int = 417, before_all: float = BEFORE_ALL, send_every: float = 0.0
    ) -> None:
        self.random = random.Random(seed)
        self.before_all, self.send_every = before_all, send_every
        self.sent: list[dict[str, Any]] = []
        self.phones = {
            "screen room tablet": Phone(self.new_id(0), 0, 40_000),
            "flatbed phone": Phone(self.new_id(0), 190_000, 900_000),
            "line tablet": Phone(self.new_id(0), -4_000, 15_000),
            "spare phone": Phone(self.new_id(0), 0, None),
        }

    def new_id(self, at: float) -> str:
        """A UUID of version 7 (RFC 9562); its time is the demo's own, long before today."""
        ms = UUID_EPOCH_MS + round((at + self.before_all) * 60_000)
        value = ms << 80 | 7 << 76 | self.random.getrandbits(76)
        text = f"{value & ~(3 << 62) | 2 << 62:032x}"
        return "-".join((text[:8], text[8:12], text[12:16], text[16:20], text[20:]))

    def write(
        self,
        kind: str,
        payload: dict[str, Any],
        *,
        at: float,
        phone: str,
        operator: str,
        sent_at: float | None = None,
        number: int | None = None,
        **about: Any,
    ) -> dict[str, Any]:
        """An entry that happened at `at` and reached the server at `sent_at`, by default soon."""
        by = self.phones[phone]
        entry = {
            "id": self.new_id(at),
            "install_id": by.install_id,
            "device_seq": 0,
            "kind": kind,
            "v": 1,
            "occurred_at": told(at - by.offset_ms / 60_000),
            "clock_offset_ms": by.offset_ms,
            "clock_offset_age_ms": by.offset_age_ms,
            "mono_ms": round((at + self.before_all) * 60_000),
            "base_seq": 0,
            "operator": operator,
            "frame": None,
            "screen": None,
            "subject": None,
            "scanned": format_code("F", number) if number else None,
            "app": "demo",
            "payload": payload,
        } | about
        if kind == "mesh_fitted":
            entry["screen"] = entry["id"]
        sent = min(self.next_push(at), NOW) if sent_at is None else sent_at
        line = {"device": f"demo:{phone}", "at": at, "sent_at": sent, "entry": entry}
        self.sent.append(line)
        return entry

    def next_push(self, at: float) -> float:
        return (at // self.send_every + 1) * self.send_every if self.send_every else at + 0.7

    def lines(self) -> list[dict[str, Any]]:
        """In the order in which they reached the server, each phone's numbered as they happened."""
        numbers: Counter[str] = Counter()
        for line in sorted(self.sent, key=lambda line: line["at"]):
            numbers[line["device"]] += 1
            line["entry"]["device_seq"] = numbers[line["device"]]
        ordered = sorted(self.sent, key=lambda line: (line["sent_at"], line["device"]))
        return [
            {"device": line["device"], "received": told(line["sent_at"]), "entry": line["entry"]}
            for line in ordered
        ]
