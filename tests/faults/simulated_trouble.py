"""What goes wrong for the phones of the simulator, and for its server; weights beside the names."""

from __future__ import annotations

import json
import time
import urllib.error
import urllib.request
from collections.abc import Callable
from contextlib import suppress
from typing import TYPE_CHECKING

from tests.faults.phones import Phone
from tests.faults.shop import locked, rows

if TYPE_CHECKING:
    from tests.faults.simulator import World

HOUR_MS = 3_600_000
BAD_AIR = [
    *("down", "lost_answer", "twice", "late", "echo", "cut_answer", "cut_request", "cut_line"),
    *("hang", "hang_after", "portal", "portal_login", "proxy_down", "proxy_small", "asks_quiet"),
    *("other_app", "other_server"),
]
Act = Callable[["World", Phone], None]


# Air, clocks and the phone itself.


def change_air(world: World, phone: Phone) -> None:
    plan = world.random.choices(BAD_AIR + ["good"] * 4, k=world.random.randrange(6))
    phone.network(world.random.choice(["good", "good", "down", *BAD_AIR[:6]]), plan)


def kick(world: World, phone: Phone) -> None:
    reason = world.random.choice(["hand", "online", "visible"])
    phone.ask("kick", name=world.tab(phone), reason=reason)


def let_time_pass(world: World, phone: Phone) -> None:
    phone.passes(world.random.choice([1, 60, 61, 400, 3700]))


def put_clock(world: World, phone: Phone) -> None:
    phone.ask("put", ms=world.random.randrange(-48, 48) * HOUR_MS)


def stay_away(world: World, phone: Phone) -> None:
    """Switched off for weeks, or over night."""
    kill_tabs(phone)
    phone.passes(world.random.choice([12, 24 * 25]) * 3600)


def kill_tabs(phone: Phone) -> None:
    for tab in phone.ask("tabs"):
        phone.ask("kill", name=tab)


def die_soon(world: World, phone: Phone) -> None:
    """The next storage steps of this tab are its last ones."""
    tab = world.tab(phone)
    phone.ask("dieAt", name=tab, step=world.random.randrange(1, 60))
    while tab in phone.ask("tabs") and world.random.random() < 0.8:
        phone.kick(tab)
    phone.ask("kill", name=tab)


def kill(world: World, phone: Phone) -> None:
    phone.ask("kill", name=world.tab(phone))
    if world.random.random() < 0.3:
        phone.ask("thawLock")


def open_second_tab(world: World, phone: Phone) -> None:
    if "two" not in phone.ask("tabs"):
        phone.open("two")


def freeze_tab(world: World, phone: Phone) -> None:
    """A tab that the phone has put to sleep goes on holding the lock."""
    phone.ask("freezeLock")


def deliver_late(world: World, phone: Phone) -> None:
    phone.ask("deliverLate")


def close_database(world: World, phone: Phone) -> None:
    phone.ask("closeDatabase", name=world.tab(phone))


def fill_storage(world: World, phone: Phone) -> None:
    """Nothing can be written for a while; what is saved now is refused, what syncs must wait."""
    tab = world.tab(phone)
    phone.ask("fill", name=tab, full=True)
    world.save(phone)
    phone.ask("kick", name=tab)
    phone.ask("fill", name=tab, full=False)


def throw_storage_away(world: World, phone: Phone) -> None:
    """By the browser, once everything was sent: then only the server has it."""
    tab = world.tab(phone)
    if phone.ask("outbox", name=tab):
        return
    mine = {id for id, one in world.saved.items() if one["install_id"] == phone.install["id"]}
    world.sole |= mine
    phone.ask("evict")
    phone.come_back(phone.open())


# The server and the people in its office.


def kill_server(world: World, phone: Phone) -> None:
    """Killed while phones are at it; what they get no answer for, they keep."""
    busy = [(one, world.tab(one)) for one in world.phones]
    begun = [world.host.begin(one.name, "kick", name=tab) for one, tab in busy]
    time.sleep(world.random.random() / 20)
    world.shop.kill()
    for number in begun:
        world.host.collect(number)
    world.shop.start()


def lock_database(world: World, phone: Phone) -> None:
    """Another program holds it for a moment while all phones send."""
    busy = [(one, world.tab(one)) for one in world.phones]
    with locked(world.shop):
        begun = [world.host.begin(one.name, "kick", name=tab) for one, tab in busy]
        time.sleep(world.random.random() / 5)
    for number in begun:
        world.host.collect(number)


def copy_or_restore(world: World, phone: Phone) -> None:
    backup = world.folder / "backup"
    if not world.copied:
        world.shop.copy_database(backup)
        world.copied = True
        return
    world.shop.kill()
    world.shop.put_database_back(backup)
    world.excused |= world.sole
    if world.random.random() < 0.5:
        (world.shop.data / "position.json").unlink(missing_ok=True)
    world.shop.start()


def sign_out(world: World, phone: Phone) -> None:
    secret = world.random.choice(["tautbook_device=expired", phone.cookie, phone.cookie])
    phone.ask("cookie", value=secret)


def judge(world: World, phone: Phone) -> None:
    verdict = world.random.choice(["block", "retire", "reactivate", "reactivate"])
    number = phone.name.split()[-1]
    world.shop.python(
        "from shopfloor import auth\n"
        "from shopfloor.models import Device\n"
        f"auth.{verdict}(Device.objects.get(label='Phone {number}'), by=None)\n"
    )


def let_all_in(world: World) -> None:
    world.shop.python(
        "from shopfloor import auth\n"
        "from shopfloor.models import Device\n"
        "for one in Device.objects.exclude(status='active'): auth.reactivate(one, by=None)\n"
    )
    for phone in world.phones:
        phone.ask("cookie", value=phone.cookie)


def change_frame(world: World, phone: Phone) -> None:
    """The office takes a frame out of the book, or back into it."""
    frame = world.random.choice(world.frames).id
    world.shop.python(
        "from frames import things\n"
        "from frames.models import Frame\n"
        f"frame = Frame.objects.get(pk='{frame}')\n"
        "things.retire('frame', frame.pk, frame.version, 'test', retired=not frame.retired)\n"
    )


def forge(world: World, phone: Phone) -> None:
    """Something sends an entry that the server holds once more, with other words in it."""
    held = {raw for (raw,) in rows(world.shop.data, "select raw from frames_entry limit 20")}
    if not held:
        return
    entry = json.loads(world.random.choice(sorted(held)))
    entry["payload"] = {"note": "not what was saved"}
    body = json.dumps({"protocol": 1, "entries": [entry]}).encode()
    headers = {"Content-Type": "application/json", "X-Tautbook": "1", "Cookie": phone.cookie}
    request = urllib.request.Request(f"{world.shop.origin}/api/v1/sync/push", body, headers)
    # A phone that is blocked just now is not even listened to.
    with suppress(urllib.error.HTTPError), urllib.request.urlopen(request, timeout=30) as answer:
        assert json.load(answer)["receipts"][0]["status"] == "refused"


OF_PHONES: list[tuple[float, Act]] = [
    *((14, change_air), (10, kick), (8, let_time_pass), (3, put_clock), (1, stay_away)),
    *((6, die_soon), (3, kill), (3, open_second_tab), (1, freeze_tab), (4, deliver_late)),
    *((2, close_database), (2, fill_storage), (1, throw_storage_away)),
]


def of_server(restores: float) -> list[tuple[float, Act]]:
    return [
        *((2, kill_server), (1, lock_database), (restores, copy_or_restore), (1, change_frame)),
        *((1.5, sign_out), (1, judge), (0.5, forge)),
    ]
