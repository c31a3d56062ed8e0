"""Eight phones send to the real server at once: nothing lost, nothing doubled, no gap in the feed.

`CROWD_ENTRIES=50000 python -m pytest -s tests/faults/test_crowd.py` makes it a big shop's year
and prints how long it took.
"""

import os
import time
from collections import Counter
from concurrent.futures import Future, ThreadPoolExecutor
from random import Random

import pytest

from tests.faults.sending import Follower, Sender
from tests.faults.shop import Json, furnish, replayed, rows, state
from tests.log.crowd import deliveries
from tests.shop_process import ShopProcess

ENTRIES = int(os.environ.get("CROWD_ENTRIES", "3000"))
FRAMES, PHONES = 500, 8
EVERY_ID = "select id from frames_entry"


@pytest.fixture
def crowded(server: ShopProcess) -> tuple[ShopProcess, Json]:
    """A server of its own, and what is in its shop."""
    return server, furnish(server)


@pytest.mark.promise(2)
def test_eight_phones_and_a_reader_over_http(crowded: tuple[ShopProcess, Json]) -> None:
    shop, book = crowded
    sent = deliveries(418, ENTRIES, FRAMES, PHONES)
    cookies = [book["cookies"][place % len(book["cookies"])] for place in range(PHONES + 1)]
    phones = [Sender(shop, cookies[place], Random(place)) for place in range(PHONES)]
    reader = Follower(Sender(shop, cookies[PHONES], Random(PHONES)))
    begun = time.monotonic()
    with ThreadPoolExecutor(PHONES) as pool:
        sending = [
            pool.submit(phone.send_all, its) for phone, its in zip(phones, sent, strict=True)
        ]
        follow(reader, sending)
    took = time.monotonic() - begun
    while reader.pull():
        pass

    ids = {entry["id"] for batches in sent for batch in batches for entry in batch}
    pushed = sum(len(batch) for batches in sent for batch in batches)
    answers = sum((phone.answers for phone in phones), Counter())
    hung_up = sum(phone.hung_up for phone in phones)
    print(f"\n{len(ids)} entries, {pushed} pushed, {hung_up} hung up, {took:.1f} s, {answers}")
    assert hung_up > 0
    assert answers["stored"] + answers["duplicate"] == pushed
    assert 0 < answers["stored"] <= len(ids)  # where a phone hung up, its second try is a duplicate
    (count,) = rows(shop.data, "select count(*) from frames_entry")[0]
    assert count == len(ids)
    assert {plain(id) for (id,) in rows(shop.data, EVERY_ID)} == {plain(id) for id in ids}
    assert rows(shop.data, "select count(*) from frames_refused") == [(0,)]
    assert reader.skipped == []
    assert reader.at == rows(shop.data, "select seq from frames_counter")[0][0]
    assert set(reader.entries) == ids
    assert state(shop) == replayed(shop)
    assert "All is well" in shop.manage("check_log")


def follow(reader: Follower, sending: "list[Future[Sender]]") -> None:
    while not all(one.done() for one in sending):
        if not reader.pull():
            time.sleep(0.05)
    for one in sending:
        one.result()


def plain(id: str) -> str:
    return id.replace("-", "").lower()
