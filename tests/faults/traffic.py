"""A shop's traffic as it reaches the server: phones that save, send and pull, and the office.

Phones here are threads that keep to the protocol: one request at a time, an outbox that only a
receipt empties, what is saved meanwhile goes along with the next batch, and a server that asks
for quiet gets it.
"""

import http.client
import json
import time
from collections import Counter
from contextlib import contextmanager
from dataclasses import dataclass, field
from random import Random
from typing import Any

from tests.faults.sending import packed
from tests.faults.shop import Json
from tests.log.making import Frame, Maker
from tests.shop_process import ShopProcess

PATIENCE_S = 45
MOST = 100
RETRY_S = (0.2, 1.0)

OFFICE = """
from django.conf import settings
from django.contrib.auth import BACKEND_SESSION_KEY, HASH_SESSION_KEY, SESSION_KEY
from django.contrib.auth.models import Group, User
from django.contrib.sessions.backends.db import SessionStore
mara = User.objects.get(username="mara")
mara.groups.add(Group.objects.get(name="manager"))
session = SessionStore()
session[SESSION_KEY], session[HASH_SESSION_KEY] = str(mara.pk), mara.get_session_auth_hash()
session[BACKEND_SESSION_KEY] = "django.contrib.auth.backends.ModelBackend"
session.save()
print(session.session_key)
"""


class Unanswered(Exception):
    """The line broke or nobody was there."""


@dataclass
class Line:
    """One connection, opened anew when it broke; counts what was answered."""

    shop: ShopProcess
    headers: dict[str, str]
    statuses: Counter[str] = field(default_factory=Counter)
    link: http.client.HTTPConnection | None = None

    def ask(self, method: str, path: str, body: bytes | None = None) -> tuple[int, Any, bytes]:
        """Status, headers and body; raises Unanswered.

        The server hangs up on a line that was quiet for long. What was asked on one that broke is
        asked once more on a new one, as browsers do.
        """
        kept = self.link is not None
        try:
            found = self._asked(method, path, body)
        except (OSError, http.client.HTTPException) as error:
            self.link.close()
            self.link = None
            if kept and isinstance(error, ConnectionError):
                return self.ask(method, path, body)
            self.statuses["no answer"] += 1
            raise Unanswered from error
        self.statuses[str(found[0])] += 1
        return found

    def _asked(self, method: str, path: str, body: bytes | None) -> tuple[int, Any, bytes]:
        if self.link is None:
            port = self.shop.port
            self.link = http.client.HTTPConnection("localhost", port, timeout=PATIENCE_S)
        kinds = {"Content-Type": "application/json", "Content-Encoding": "gzip"} if body else {}
        self.link.request(method, path, body, self.headers | kinds)
        answer = self.link.getresponse()
        return answer.status, answer.headers, answer.read()


@dataclass
class Visitor:
    """A phone. `acknowledged` is what the server gave a receipt for."""

    line: Line
    install_id: str
    random: Random
    outbox: list[Json] = field(default_factory=list)
    acknowledged: list[str] = field(default_factory=list)
    place: Json | None = None
    skipped: int = 0

    def round(self, most: int = MOST) -> float:
        """Send what is held, then pull; the seconds to leave the server alone, if it says so."""
        try:
            wait = self._push(most) if self.outbox else 0.0
            return wait or self._pull()
        except Unanswered:
            return self.random.uniform(*RETRY_S)

    def _push(self, most: int) -> float:
        batch = self.outbox[:most]
        status, headers, body = self.line.ask("POST", "/api/v1/sync/push", packed(batch))
        if status != 200:
            return self._put_off(status, headers, body)
        for one in json.loads(body)["receipts"]:
            assert one["status"] in ("stored", "duplicate"), one
            self.acknowledged.append(one["id"])
        del self.outbox[: len(batch)]
        return 0.0

    def _pull(self) -> float:
        at = self.place
        path = "snapshot" if at is None else "changes?epoch={epoch}&after={seq}".format(**at)
        if at and at["id"]:
            path += f"&id={at['id']}"
        status, headers, body = self.line.ask("GET", f"/api/v1/sync/{path}")
        if status != 200:
            return self._put_off(status, headers, body)
        page = json.loads(body)
        if at is None:
            self.place = {name: page[name] for name in ("epoch", "seq", "id")}
        elif page["changes"]:
            numbers = [change["seq"] for change in page["changes"]]
            self.skipped += numbers != list(range(at["seq"] + 1, at["seq"] + 1 + len(numbers)))
            self.place = {"epoch": at["epoch"], "seq": numbers[-1], "id": page["changes"][-1]["id"]}
        return 0.0

    @staticmethod
    def _put_off(status: int, headers: Any, body: bytes) -> float:
        assert status in (429, 503), body[:500]
        assert headers["Retry-After"], "told to come back, but not when"
        return float(headers["Retry-After"])


@dataclass
class Shift:
    """The phones of one shop and what they have to say."""

    shop: ShopProcess
    book: Json
    seed: int

    def __post_init__(self) -> None:
        count = len(self.book["cookies"])
        self.maker = Maker(self.seed, frames=1, phones=count)
        self.maker.frames = [Frame(id) for id in self.book["frames"]]
        self.maker.book |= {"mesh": self.book["meshes"], "meter": self.book["meters"]}
        self.phones = [
            Visitor(Line(self.shop, self._cookie(n)), phone.install_id, Random(self.seed + n))
            for n, phone in enumerate(self.maker.phones)
        ]

    def _cookie(self, n: int) -> dict[str, str]:
        return {"X-Tautbook": "1", "Cookie": f"tautbook_device={self.book['cookies'][n]}"}

    def entries(self, count: int) -> dict[str, list[Json]]:
        """So many new entries, by the phone that makes them."""
        made: dict[str, list[Json]] = {phone.install_id: [] for phone in self.phones}
        for entry in self.maker.entries(count):
            made[entry["install_id"]].append(entry)
        return made

    def acknowledged(self) -> list[str]:
        return [id for phone in self.phones for id in list(phone.acknowledged)]

    def statuses(self) -> Counter[str]:
        return sum((phone.line.statuses for phone in self.phones), Counter())


def office(shop: ShopProcess) -> Line:
    """A browser of the manager, signed in."""
    session = shop.python(OFFICE).strip()
    return Line(shop, {"Cookie": f"tautbook_session={session}"})


@contextmanager
def timed(into: list[float]) -> Any:
    begun = time.monotonic()
    yield
    into.append(time.monotonic() - begun)
