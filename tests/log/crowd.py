"""Many phones at once, each a process of its own on one database.

`python -m tests.log.crowd write FILE` sends the batches of a file, `follow` reads the feed until
its input closes, `report` says how the book stands; each prints one line of JSON.
"""

import json
import select
import sys
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from random import Random
from typing import Any

from tests.log.making import Maker

Raw = dict[str, Any]
BATCH = 100


def deliveries(seed: int, entries: int, frames: int, phones: int) -> list[list[list[Raw]]]:
    """Per phone its batches in the order of sending: some twice, swapped, or overlapping."""
    maker, random = Maker(seed, frames, phones), Random(seed)
    home = {frame.id: random.choice(maker.phones) for frame in maker.frames}
    maker.phone_of = lambda frame: (
        home[frame] if frame and random.random() < 0.95 else random.choice(maker.phones)
    )
    by_phone: dict[str, list[Raw]] = {phone.install_id: [] for phone in maker.phones}
    for entry in _with_acts(maker, random, entries):
        by_phone[entry["install_id"]].append(entry)
    sent = [list(_batches(random, its)) for its in by_phone.values()]
    for place, batches in enumerate(sent):
        # somebody else imports what this phone still had in its outbox
        sent[(place + 1) % phones].append(random.choice(batches)[: BATCH // 2])
    return sent


def _with_acts(maker: Maker, random: Random, count: int) -> Iterator[Raw]:
    for _ in range(count):
        entry = maker.next()
        chance = random.random()
        if chance < 0.01:
            yield maker.void(entry)
        elif chance < 0.02:
            yield maker.correct(entry)
        yield entry


def _batches(random: Random, entries: list[Raw]) -> Iterator[list[Raw]]:
    overlap = 0
    waiting: list[list[Raw]] = []
    for start in range(0, len(entries), BATCH - 20):
        waiting.append(entries[max(start - overlap, 0) : start + BATCH - 20])
        overlap = random.choice([0, 0, 20])
        if random.random() < 0.1:
            waiting.append(waiting[-1])
        if random.random() < 0.9:
            yield from reversed(waiting)
            waiting = []
    yield from waiting


def write(path: Path) -> Raw:
    """Push every batch of a file; how its entries were answered."""
    from django.utils import timezone

    from frames import log

    answers: Counter[str] = Counter()
    for batch in json.loads(path.read_text("utf-8")):
        receipts = log.append(batch, device=f"phone:{path.stem}", received_at=timezone.now())
        answers.update(receipt.status for receipt in receipts)
    return dict(answers)


def follow() -> Raw:
    """Read the feed while it grows, as a phone would; the numbers must never skip one."""
    from frames import feed

    at, skipped = 0, []
    while True:
        is_over = bool(select.select([sys.stdin], [], [], 0.02)[0])
        changes = feed.after(at, 500)
        for change in changes:
            if change.seq != at + 1:
                skipped.append(at + 1)
            at = change.seq
        if is_over and not changes:
            return {"at": at, "skipped": skipped}


def report() -> Raw:
    """How the book stands: counts, contradictions, and whether state is one fold of the log."""
    from frames import audit, feed
    from frames.folding import fold
    from frames.models import STATES, Entry, Refused

    said = fold(Entry.objects.values_list("raw", flat=True))
    stored = {
        f"{kind}s": {str(row.pk): row.body for row in model.objects.all()}
        for kind, model in STATES.items()
    }
    return {
        "entries": Entry.objects.count(),
        "refused": Refused.objects.count(),
        "seq": feed.head().seq,
        "state_is_replay": stored == said,
        "trouble": [finding.text for finding in audit.findings() if finding.is_trouble],
    }


if __name__ == "__main__":
    import django

    django.setup()
    commands = {"write": write, "follow": follow, "report": report}
    print(json.dumps(commands[sys.argv[1]](*map(Path, sys.argv[2:]))))
