"""The people and phones of these tests, and what they can do.

Mara manages the shop. Sol coats and exposes in the screen room. The phone hangs at press 2.
"""

import gzip
import json
from dataclasses import dataclass, field
from datetime import timedelta
from typing import Any
from uuid import UUID, uuid4

from django.conf import settings
from django.contrib.auth.models import Group, User
from django.test import Client
from django.utils import timezone

from frames import things
from frames.models import Frame, Shop
from shopfloor.auth.secrets_at_rest import digest, new_cookie
from shopfloor.models import Device

API = "/api/v1/"
APP = {"X-Tautbook": "1"}


def person(name: str, group: str) -> User:
    user = User.objects.create_user(name, password=f"{name} likes long words")
    user.groups.add(Group.objects.get(name=group))
    return user


def shop() -> Shop:
    return things.create("shop", {"name": "Quay Street Print", "prefix": "F"}, by="mara")


def frame(number: int) -> Frame:
    """A plain frame of 60 x 80 cm inside with twelve bolts; needs the shop."""
    values = {
        "number": number,
        "profile": "plain_u",
        "inside_a_mm": 600,
        "inside_b_mm": 800,
        "bolts": {side: [150, 300, 450] for side in "ABCD"},
        "pitch_mm": 1.5,
        "head": "hex",
        "step_48ths": 8,
        "lock": "twin_rod",
    }
    return things.create("frame", values, by="mara")


def signed_in(user: User) -> Client:
    client = Client()
    client.force_login(user, backend="django.contrib.auth.backends.ModelBackend")
    return client


@dataclass
class Phone:
    """A phone as the server meets it: cookie, place in the feed, newest receipt."""

    client: Client = field(default_factory=lambda: Client(headers=APP))
    install_id: UUID = field(default_factory=uuid4)
    epoch: str | None = None
    head: dict[str, Any] | None = None
    acked: str | None = None

    def post(self, path: str, body: Any, **headers: str) -> Any:
        data = body if isinstance(body, bytes) else json.dumps(body)
        return self.client.post(
            API + path, data, content_type="application/json", headers=headers or None
        )

    def get(self, path: str, **query: Any) -> Any:
        asked = {name: value for name, value in query.items() if value is not None}
        return self.client.get(API + path, asked)

    def envelope(self, entries: list[Any], **changed: Any) -> dict[str, Any]:
        return {
            "protocol": 1,
            "install_id": str(self.install_id),
            "phone_time": timezone.now().isoformat(),
            "epoch": self.epoch,
            "head": self.head,
            "acked": self.acked,
            "outbox": {"unsent": len(entries), "oldest_at": None, "refused": 0},
            "entries": entries,
        } | changed

    def push(self, *entries: Any, **changed: Any) -> dict[str, Any]:
        """Send, and remember the newest receipt as the real phone does."""
        response = self.post("sync/push", self.envelope(list(entries), **changed))
        assert response.status_code == 200, response.content
        answer = response.json()
        for receipt in answer["receipts"]:
            if receipt["status"] != "refused":
                self.acked = receipt["id"]
        return answer

    def push_packed(self, *entries: Any) -> Any:
        packed = gzip.compress(json.dumps(self.envelope(list(entries))).encode())
        return self.post("sync/push", packed, **{"Content-Encoding": "gzip"})

    def ask_changes(self, **changed: Any) -> Any:
        place = self.head or {"seq": 0, "id": None}
        query = {"epoch": self.epoch, "after": place["seq"], "id": place["id"]}
        return self.get("sync/changes", **(query | {"acked": self.acked} | changed))

    def take_changes(self) -> list[dict[str, Any]]:
        """Pull until nothing is left, and move on."""
        taken = []
        while True:
            answer = self.ask_changes().json()
            taken += answer["changes"]
            if answer["changes"]:
                newest = answer["changes"][-1]
                self.head = {"seq": newest["seq"], "id": newest["id"]}
            if not answer["more"]:
                return taken

    def take_snapshot(self) -> list[dict[str, Any]]:
        items, following = [], None
        while True:
            page = self.get("sync/snapshot", after=following).json()
            items += page["items"]
            following = page["next"]
            if following is None:
                self.epoch, self.head = page["epoch"], {"seq": page["seq"], "id": page["id"]}
                return items


def enrolled(label: str = "Press 2", status: Device.Status = Device.Status.ACTIVE) -> Phone:
    """A phone that was let in an hour ago."""
    secret, now = new_cookie(), timezone.now()
    Device.objects.create(
        label=label,
        status=status,
        cookie_hash=digest(secret),
        cookie_until=now + timedelta(days=180),
        approved_at=now - timedelta(hours=1),
    )
    phone = Phone()
    phone.client.cookies[settings.DEVICE_COOKIE_NAME] = secret
    return phone


def device_of(phone: Phone) -> Device:
    secret = phone.client.cookies[settings.DEVICE_COOKIE_NAME].value
    return Device.objects.get(cookie_hash=digest(secret))
