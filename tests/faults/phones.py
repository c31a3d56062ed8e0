"""Virtual phones: the shipped store and sync under Node, driven from a test line by line."""

import json
import subprocess
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from shopfloor.launch import node

HOST = Path(__file__).parent / "host" / "host.mjs"
Json = dict[str, Any]


class PhoneError(Exception):
    """What a phone's own code rejected with; `code` is a StoreError's."""

    def __init__(self, text: str, code: str | None) -> None:
        super().__init__(text)
        self.code = code


class Host:
    """One Node process that holds any number of phones."""

    def __init__(self) -> None:
        command = [*node.find().node, str(HOST)]
        pipe = subprocess.PIPE
        self.process = subprocess.Popen(command, stdin=pipe, stdout=pipe, text=True, bufsize=1)
        self.count = 0
        self.answers: dict[int, Json] = {}

    def ask(self, phone: str, does: str, **words: Any) -> Any:
        return self.collect(self.begin(phone, does, **words))

    def begin(self, phone: str, does: str, **words: Any) -> int:
        """Say what is to be done and do not wait; `collect` takes the number that this gives."""
        assert self.process.stdin
        self.count += 1
        command = {"n": self.count, "phone": phone, "does": does, **words}
        self.process.stdin.write(json.dumps(command) + "\n")
        self.process.stdin.flush()
        return self.count

    def collect(self, number: int) -> Any:
        assert self.process.stdout
        while number not in self.answers:
            line = self.process.stdout.readline()
            assert line, f"Node ended with {self.process.wait()}; its own words are above"
            answer = json.loads(line)
            self.answers[answer["n"]] = answer
        answer = self.answers.pop(number)
        if "error" in answer:
            raise PhoneError(answer["error"], answer["code"])
        return answer["result"]

    def close(self) -> None:
        if self.process.stdin:
            self.process.stdin.close()
        self.process.wait(timeout=10)


class Phone:
    """A phone with the app open in tab `one`; the network is down until it is told otherwise."""

    def __init__(self, host: Host, name: str, origin: str, cookie: str, **how: Any) -> None:
        self.host, self.name = host, name
        self.origin, self.cookie = origin, cookie
        self.ask("new", origin=origin, cookie=cookie, **how)
        self.installs: list[str] = []
        self.come_back(self.open())

    def ask(self, does: str, **words: Any) -> Any:
        return self.host.ask(self.name, does, **words)

    def open(self, name: str = "one", **how: Any) -> Json:
        return self.ask("open", name=name, **how)

    def come_back(self, install: Json) -> None:
        """Its name from now on: another one after its storage was thrown away."""
        self.install = install
        self.installs.append(install["id"])

    def network(self, rest: str, plan: Sequence[str] = ()) -> None:
        """What becomes of the next requests, one by one, and then of all others."""
        self.ask("network", rest=rest, plan=list(plan))

    def save(self, kind: str = "note", **fields: Any) -> Json:
        tab = fields.pop("tab", "one")
        fields.setdefault("payload", {"note": "a line"} if kind == "note" else {})
        return self.ask("save", name=tab, draft={"kind": kind, **fields})

    def save_many(self, count: int, **fields: Any) -> list[Json]:
        """So many notes, without waiting for what sync makes of each."""
        draft = {"kind": "note", "payload": {"note": "one of many"}, **fields}
        return self.ask("saveMany", name="one", count=count, draft=draft)

    def kick(self, tab: str = "one") -> str:
        return self.ask("kick", name=tab)

    def passes(self, seconds: float) -> None:
        self.ask("pass", ms=round(seconds * 1000))

    def restart(self, **how: Any) -> None:
        """The tab is killed and the app opened again."""
        self.ask("kill", name="one")
        self.open(**how)

    def states(self, tab: str = "one") -> list[str]:
        return [line["state"] for line in self.ask("outbox", name=tab)]

    def unsent(self) -> int:
        return self.ask("counts")["unsent"]

    def status(self) -> Json:
        return self.ask("status")
