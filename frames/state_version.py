"""Which rules state was folded by, and folding it anew where this version has others.

What an earlier version did not know it kept unfolded, and phones that know more fold it: without
this, server and phones would say different things of one log for ever.
"""

import hashlib
from functools import cache
from pathlib import Path

from frames import feed, intake, links, state
from frames.models import Counter, Entry

# Modules that decide what the log says; a test holds this to what they import.
CODE = (
    *("frames.effects", "frames.entries", "frames.fields", "frames.folding", "frames.intake"),
    *("frames.links", "frames.payloads", "frames.rows", "frames.state", "frames.times"),
)


def is_current() -> bool:
    return Counter.objects.filter(pk=1, folded_by=code()).exists()


def rebuild(*, if_due: bool = False) -> int:
    """Fold the whole log anew; how many changes that put into the feed.

    `if_due`: not if these rules folded it last, as when another start came first.
    """
    with feed.change() as turn:
        if if_due and is_current():
            return 0
        _file_anew()
        for frame_id in sorted(links.all_frames()):
            state.refold(turn, [frame_id])
        for meter_id in sorted(links.all_meters()):
            state.refold_meter(turn, meter_id)
        Counter.objects.filter(pk=1).update(folded_by=code())
        return turn.seq - turn.begun


@cache
def code() -> str:
    """Fingerprint of the rules: of their text, so that none can change without being noticed."""
    root = Path(__file__).resolve().parents[1]
    found = hashlib.sha256()
    for module in CODE:
        found.update(root.joinpath(*module.split(".")).with_suffix(".py").read_bytes())
    return found.hexdigest()


def _file_anew() -> None:
    """A correction that was not known when it came was not filed under what it corrects."""
    for row in Entry.objects.flagged().iterator():
        if state.came_unknown(row) and state.is_readable(row):
            filed = intake.filed(row.raw)
            if any(getattr(row, name) != value for name, value in filed.items()):
                Entry.objects.filter(pk=row.pk).update(**filed)
