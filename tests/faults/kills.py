"""The server killed (SIGKILL, with its worker) again and again while phones send.

    python -m tests.faults.kills 50 sqlite
    python -m tests.faults.kills 50 postgresql

After each kill: the database file is whole, every entry that a phone holds a receipt for is in
the log, none is there twice, the feed has no gap. At the end phones come to rest and the log
holds exactly what they sent.
"""

import sys
import time
from collections.abc import Callable
from random import Random
from threading import Event, Thread

from tests.faults.shop import furnish
from tests.faults.standing import ShopOn, check_book, check_kept, shop_on
from tests.faults.traffic import Shift, Visitor

PHONES = 8
EACH = 25


def kill_again_and_again(
    shop: ShopOn, times: int, seed: int = 1, tell: Callable[[str], None] = lambda _: None
) -> dict[str, int]:
    """How many entries there were, and how many requests the kills met."""
    random = Random(seed)
    shift = Shift(shop, furnish(shop, PHONES), seed)
    stop = Event()
    sent: set[str] = set()
    shop.start()
    threads = [Thread(target=_send, args=(phone, stop)) for phone in shift.phones]
    for thread in threads:
        thread.start()
    try:
        for n in range(1, times + 1):
            _save(shift, sent)
            _wait_for_receipts(shift, random.randint(1, PHONES * EACH // 2))
            time.sleep(random.uniform(0, 0.1))
            shop.kill()
            known = shift.acknowledged()
            count = check_kept(shop, known)
            tell(f"kill {n}: {count} entries, {len(known)} acknowledged, none lost, none doubled")
            shop.start()
    finally:
        stop.set()
        for thread in threads:
            thread.join()
    _come_to_rest(shift)
    check_book(shop, sent)
    assert not any(phone.skipped for phone in shift.phones)
    return {"entries": len(sent), "unanswered": shift.statuses()["no answer"]}


def _save(shift: Shift, sent: set[str]) -> None:
    by_phone = shift.entries(PHONES * EACH)
    for phone in shift.phones:
        new = by_phone[phone.install_id]
        sent.update(entry["id"] for entry in new)
        phone.outbox.extend(new)


def _wait_for_receipts(shift: Shift, more: int) -> None:
    """The server is in the middle of its work when it is killed."""
    enough = len(shift.acknowledged()) + more
    while len(shift.acknowledged()) < enough:
        time.sleep(0.005)


def _send(phone: Visitor, stop: Event) -> None:
    """A few entries at a time, so that many requests are under way when the kill comes."""
    while not stop.is_set():
        wait = phone.round(most=phone.random.randint(1, 12))
        time.sleep(wait if wait else phone.random.uniform(0, 0.02))


def _come_to_rest(shift: Shift) -> None:
    for phone in shift.phones:
        while phone.outbox:
            time.sleep(phone.round())


def main(times: int, database: str) -> None:
    with shop_on(database) as shop:
        print(kill_again_and_again(shop, times, tell=lambda line: print(line, flush=True)))


if __name__ == "__main__":
    main(int(sys.argv[1]), sys.argv[2] if len(sys.argv) > 2 else "sqlite")
