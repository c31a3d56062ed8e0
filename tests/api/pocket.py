"""A phone as it lies in a pocket: it holds an outbox, what was acknowledged, and its view of the
shop. Written from the protocol alone, so that the server is judged by someone else's reading."""

from dataclasses import dataclass, field
from typing import Any

from tests.api.cast import Phone


@dataclass
class Pocket(Phone):
    outbox: list[dict[str, Any]] = field(default_factory=list)
    kept: list[dict[str, Any]] = field(default_factory=list)
    entries: dict[str, Any] = field(default_factory=dict)
    states: dict[tuple[str, str], Any] = field(default_factory=dict)

    def write(self, entry: dict[str, Any]) -> None:
        self.outbox.append(entry)

    def send(self, most: int = 100, *, answer_lost: bool = False) -> None:
        """Only a receipt takes an entry out of the outbox."""
        batch = self.outbox[:most]
        answer = self.post("sync/push", self.envelope(batch)).json()
        if answer_lost:
            return
        answered = {
            receipt["id"] for receipt in answer["receipts"] if receipt["status"] != "refused"
        }
        self.kept += [entry for entry in batch if entry["id"] in answered]
        self.outbox = [entry for entry in self.outbox if entry["id"] not in answered]
        if batch:
            self.acked = batch[-1]["id"]
        if answer["resend"]:
            self.send_again()

    def send_again(self) -> None:
        """What it still holds goes back into the outbox, and its place is forgotten."""
        self.outbox, self.kept = self.kept + self.outbox, []
        self.acked = self.epoch = self.head = None

    def pull(self, limit: int = 500) -> None:
        if self.epoch is None:
            self._start_over()
        while True:
            response = self.ask_changes(limit=limit)
            if response.status_code == 410:
                self.send_again()
                self.send()
                self._start_over()
                continue
            answer = response.json()
            for change in answer["changes"]:
                self._apply(change)
                self.head = {"seq": change["seq"], "id": change["id"]}
            if not answer["more"]:
                return

    def _start_over(self) -> None:
        self.entries.clear()
        self.states.clear()
        for item in self.take_snapshot():
            self._apply(item)

    def _apply(self, item: dict[str, Any]) -> None:
        if item["type"] == "entry":
            self.entries[item["object"]] = item["body"]
        elif item["type"] == "state" and item["body"] is None:
            self.states.pop((item["kind"], item["object"]), None)
        elif item["type"] == "state":
            self.states[item["kind"], item["object"]] = item["body"]
