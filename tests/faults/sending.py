"""Phones made of nothing but HTTP: packed batches over sockets that they may hang up."""

import gzip
import http.client
import json
from collections import Counter
from dataclasses import dataclass, field
from random import Random
from typing import Any

from tests.shop_process import ShopProcess

Json = dict[str, Any]
PATIENCE_S = 120
BUSY = (429, 503)


def packed(batch: list[Json]) -> bytes:
    """The body of a push."""
    envelope = {
        "protocol": 1,
        "install_id": batch[0]["install_id"],
        "phone_time": batch[-1]["occurred_at"],
        "outbox": {"unsent": len(batch), "oldest_at": None, "refused": 0},
        "entries": batch,
    }
    return gzip.compress(json.dumps(envelope).encode(), 6)


@dataclass
class Sender:
    """One enrolled phone with its connection, and how its entries were answered."""

    shop: ShopProcess
    cookie: str
    random: Random
    answers: Counter[str] = field(default_factory=Counter)
    hung_up: int = 0
    busy: int = 0

    def __post_init__(self) -> None:
        self.line = self._line()
        self.headers = {"X-Tautbook": "1", "Cookie": f"tautbook_device={self.cookie}"}

    def _line(self) -> http.client.HTTPConnection:
        return http.client.HTTPConnection(self.shop.host, self.shop.port, timeout=PATIENCE_S)

    def send_all(self, batches: list[list[Json]]) -> "Sender":
        """Every batch until it is answered; some are sent, not listened to, and sent again."""
        for batch in batches:
            while self.random.random() < 0.1:
                self._push(batch)
                self._hang_up()
            while not self._answered(batch):
                self.busy += 1
        return self

    def _push(self, batch: list[Json]) -> None:
        kinds = {"Content-Type": "application/json", "Content-Encoding": "gzip"}
        self.line.request("POST", "/api/v1/sync/push", packed(batch), self.headers | kinds)

    def _hang_up(self) -> None:
        """The answer may be on its way; nobody will read it."""
        self.line.close()
        self.line = self._line()
        self.hung_up += 1

    def _answered(self, batch: list[Json]) -> bool:
        self._push(batch)
        response = self.line.getresponse()
        body = response.read()
        if response.status in BUSY:
            return False
        assert response.status == 200, body[:500]
        receipts = json.loads(body)["receipts"]
        assert [one["id"] for one in receipts] == [one["id"] for one in batch]
        self.answers.update(one["status"] for one in receipts)
        return True

    def get(self, path: str) -> Json:
        self.line.request("GET", f"/api/v1/{path}", headers=self.headers)
        response = self.line.getresponse()
        body = response.read()
        assert response.status == 200, body[:500]
        return json.loads(body)


@dataclass
class Follower:
    """A phone that reads the feed while it grows, from the beginning."""

    phone: Sender
    at: int = 0
    id: str | None = None
    entries: list[str] = field(default_factory=list)
    skipped: list[int] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.epoch = self.phone.get("sync/snapshot")["epoch"]

    def pull(self) -> bool:
        """One page more; whether anything was new."""
        seen = f"&id={self.id}" if self.id else ""
        page = self.phone.get(f"sync/changes?epoch={self.epoch}&after={self.at}{seen}&limit=500")
        for change in page["changes"]:
            if change["seq"] != self.at + 1:
                self.skipped.append(self.at + 1)
            self.at, self.id = change["seq"], change["id"]
            if change["type"] == "entry":
                self.entries.append(change["object"])
        return bool(page["changes"])
