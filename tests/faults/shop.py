"""The shop that the phones of these tests work for, and what its server holds."""

import json
import sqlite3
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from uuid import UUID

from frames.folding import fold
from tests.faults.phones import Phone
from tests.shop_process import DATABASE, ShopProcess

Json = dict[str, Any]
PHONES = 20
FRAMES = 80

FURNISH = f"""
import json
from datetime import timedelta
from django.contrib.auth.models import User
from django.utils import timezone
from frames import things
from shopfloor.auth.secrets_at_rest import digest, new_cookie
from shopfloor.models import Device

things.create("shop", {{"name": "Quay Street Print", "prefix": "F"}}, by="test")
mesh = things.create("mesh", dict(name="120-34", material="polyester", count_per_cm=120,
    count_per_inch=305, thread_um=34, tension_min_n_per_cm=15, tension_max_n_per_cm=30,
    cap_n_per_cm=35, target_n_per_cm=24, tolerance_n_per_cm=1.5), by="test")
meters = [things.create("meter", dict(name=name, resolution_n_per_cm=0.5), by="test")
    for name in ("Red", "Blue")]
frames = [things.create("frame", dict(number=n, profile="plain_u", inside_a_mm=600,
    inside_b_mm=800, bolts={{side: [150, 300, 450] for side in "ABCD"}}, pitch_mm=1.5, head="hex",
    step_48ths=8, lock="twin_rod"), by="test") for n in range(1, {FRAMES} + 1)]
mara = User.objects.create(username="mara")
now = timezone.now()
cookies = [new_cookie() for _ in range(HOW_MANY)]
for n, secret in enumerate(cookies, 1):
    Device.objects.create(label=f"Phone {{n}}", scope={{}}, status="active",
        cookie_hash=digest(secret), cookie_until=now + timedelta(days=180),
        approved_at=now, enrolled_by=mara)
ids = lambda things: [str(thing.id) for thing in things]
print(json.dumps(dict(meshes=ids([mesh]), frames=ids(frames), meters=ids(meters), cookies=cookies)))
"""

EVERY_RAW = "select raw from frames_entry order by seq"


def furnish(shop: ShopProcess, phones: int = PHONES) -> Json:
    """Fill an empty database: one mesh, some frames, enrolled phones; their ids and cookies."""
    return json.loads(shop.python(FURNISH.replace("HOW_MANY", str(phones))))


def rows(data: Path, query: str) -> list[tuple[Any, ...]]:
    """Read the server's database beside it, as a manager's backup program would."""
    link = sqlite3.connect(f"file:{data / DATABASE}?mode=ro", uri=True)
    try:
        return link.execute(query).fetchall()
    finally:
        link.close()


@contextmanager
def locked(shop: ShopProcess) -> Iterator[None]:
    """The server's database while another program writes to it."""
    link = sqlite3.connect(shop.data / DATABASE, timeout=30, isolation_level=None)
    try:
        link.execute("begin immediate")
        yield
    finally:
        link.rollback()
        link.close()


def stored(shop: ShopProcess, *phones: Phone) -> list[Json]:
    """What the log holds from these phones, as it came, by the server's number."""
    installs = {install for phone in phones for install in phone.installs}
    raws = (json.loads(raw) for (raw,) in rows(shop.data, EVERY_RAW))
    return [entry for entry in raws if entry["install_id"] in installs]


def state(shop: ShopProcess) -> Json:
    """State as the server keeps it, in the shape in which a fold gives it."""
    tables = {"frames": "framestate", "screens": "screenstate", "meters": "meterstate"}
    return {
        name: {
            str(UUID(key)): json.loads(body)
            for key, body in rows(shop.data, f"select {name[:-1]}, body from frames_{table}")
        }
        for name, table in tables.items()
    }


def replayed(shop: ShopProcess) -> Json:
    """State by folding the whole log anew."""
    return fold(json.loads(raw) for (raw,) in rows(shop.data, EVERY_RAW))


def ids(entries: Iterable[Json]) -> list[str]:
    return [entry["id"] for entry in entries]


def refused(shop: ShopProcess) -> list[str]:
    """Texts of what was refused and kept."""
    return [raw for (raw,) in rows(shop.data, "select raw from frames_refused order by id")]
